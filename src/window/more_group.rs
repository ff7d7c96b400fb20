//! Settings that a lecturer rarely needs, folded away.

use egui::Ui;

use super::action::Action;
use super::control::{
    Choice, button_ui, choice, choice_ui, name_control, quiet_ui, refusal_ui, row_ui, switch_ui,
    toggle_ui,
};
use super::edit::{Edit, Setting};
use super::number_field::{NumberChange, NumberField, apply_number, field_ui, text_field_ui};
use super::number_text::parse_size;
use super::placement_group::apply_edit;
use super::state::State;
use crate::pixel::key::{Luma, Ramp};
use crate::pixel::settings::{Alpha, BlendSpace, CodeRange, Engine};

const RAMPS: [Choice<Ramp>; 2] = [
    choice(
        Ramp::Linear,
        "linear",
        "A straight line from dropped to solid.",
    ),
    choice(
        Ramp::Smooth,
        "smooth",
        "Gentle at both ends, steeper in the middle.",
    ),
];

const LUMAS: [Choice<Luma>; 3] = [
    choice(
        Luma::Bt709,
        "BT.709",
        "High definition: what almost every mixer uses. Blue counts least.",
    ),
    choice(
        Luma::Bt601,
        "BT.601",
        "Standard definition: red and blue count more.",
    ),
    choice(Luma::Bt2020, "BT.2020", "Ultra high definition."),
];

const ALPHAS: [Choice<Alpha>; 2] = [
    choice(
        Alpha::Straight,
        "straight",
        "The slide's colour fades with the matte. Soft edges over black turn dark.",
    ),
    choice(
        Alpha::Premultiplied,
        "premultiplied",
        "The slide's colour is added whole. A background that is not black lies over the picture as haze.",
    ),
];

const BLEND_SPACES: [Choice<BlendSpace>; 2] = [
    choice(
        BlendSpace::Encoded,
        "encoded",
        "On the values as they are sent, as mixers do.",
    ),
    choice(
        BlendSpace::Linear,
        "linear",
        "As light adds up; half-transparent parts come out brighter.",
    ),
];

const RANGES: [Choice<CodeRange>; 2] = [
    choice(
        CodeRange::Full,
        "full",
        "Black is 0 and white is 255, as in most pictures from a computer.",
    ),
    choice(
        CodeRange::Video,
        "video",
        "Black is 16 and white is 235. Choose it if black looks grey.",
    ),
];

const ENGINES: [Choice<Engine>; 3] = [
    choice(
        Engine::Auto,
        "auto",
        "The graphics card where there is one, else the processor.",
    ),
    choice(Engine::Gpu, "gpu", "The graphics card, or an error."),
    choice(
        Engine::Cpu,
        "cpu",
        "The processor; slower with large pictures.",
    ),
];

/// What a chain starts with: it changes nothing.
const NEUTRAL_CHAIN: [f64; 3] = [1.0, 0.0, 0.0];

/// The fold and what is in it.
pub(super) fn more_group_ui(ui: &mut Ui, state: &mut State) {
    ui.add_space(6.0);
    let label = if state.more_settings_open {
        "Fewer settings"
    } else {
        "More settings"
    };
    let tooltip = "Luma weights, ramp, alpha, blend space, range, size and chain.";
    let response = toggle_ui(ui, label, state.more_settings_open).on_hover_text(tooltip);
    name_control(&response, label);
    if response.clicked() {
        state.apply(Action::ToggleMoreSettings);
    }
    // Opened by its key it may lie below what is visible.
    let remembered = ui.scope_id().with("more settings");
    let was_open = ui.data(|data| {
        data.get_temp(remembered)
            .unwrap_or(state.more_settings_open)
    });
    if state.more_settings_open && !was_open {
        response.scroll_to_me(Some(egui::Align::TOP));
    }
    ui.data_mut(|data| data.insert_temp(remembered, state.more_settings_open));
    if !state.more_settings_open {
        return;
    }
    quiet_ui(
        ui,
        "Leave these as they are unless you know that your mixer differs.",
    );
    ui.add_space(2.0);
    let key = state.settings().key;
    let placement = state.settings().placement;
    let ramp = choice_ui(ui, "Ramp", key.ramp, &RAMPS);
    apply_edit(state, ramp.map(Edit::Ramp));
    let luma = choice_ui(ui, "Luma", key.luma, &LUMAS);
    apply_edit(state, luma.map(Edit::Luma));
    let alpha = choice_ui(ui, "Alpha", key.alpha, &ALPHAS);
    apply_edit(state, alpha.map(Edit::Alpha));
    let blend_space = choice_ui(ui, "Blend space", key.blend_space, &BLEND_SPACES);
    apply_edit(state, blend_space.map(Edit::BlendSpace));
    let range = choice_ui(ui, "Camera range", placement.camera_range, &RANGES);
    apply_edit(state, range.map(Edit::CameraRange));
    let range = choice_ui(ui, "Slide range", placement.slide_range, &RANGES);
    apply_edit(state, range.map(Edit::SlideRange));
    size_ui(ui, state);
    chain_ui(ui, state);
    let engine = choice_ui(ui, "Engine", state.setup().engine, &ENGINES);
    apply_edit(state, engine.map(Edit::Engine));
    ui.add_space(6.0);
}

/// The size of the output.
fn size_ui(ui: &mut Ui, state: &mut State) {
    let given = state.settings().placement.size;
    let size = given.unwrap_or(state.output_size);
    let shown = format!("{}x{}", size.width(), size.height());
    row_ui(ui, "Size", |ui| {
        let tooltip = "Width and height of the output in pixels. \
             Larger shows more detail and takes longer.";
        let typed = text_field_ui(ui, "Size in pixels", &shown, tooltip, 84.0, false);
        ui.weak("px");
        match typed.map(|text| parse_size(&text)) {
            None => {}
            Some(Ok(size)) => state.apply(Action::Edit(Edit::Size(Some(size)))),
            Some(Err(text)) => state.apply(Action::Refuse(Setting::Size, text)),
        }
        if given.is_none() {
            ui.weak("as the camera");
        } else if button_ui(
            ui,
            "As the camera",
            "The output gets the size of the camera picture.",
        ) {
            state.apply(Action::Edit(Edit::Size(None)));
        }
    });
    refusal_ui(ui, state, Setting::Size);
}

/// What the way from the laptop to the mixer does to the slide.
fn chain_ui(ui: &mut Ui, state: &mut State) {
    let chain = state.settings().chain;
    let switched = row_ui(ui, "Chain", |ui| {
        switch_ui(
            ui,
            "Cables change the levels",
            chain.is_some(),
            "On when the way from the laptop to the mixer makes the slide brighter or darker. A calibration measures it.",
        )
    });
    apply_edit(
        state,
        switched.map(|on| Edit::Chain(on.then_some(NEUTRAL_CHAIN))),
    );
    if let Some(chain) = chain {
        let values = [chain.gain(), chain.offset_percent(), chain.noise_percent()];
        for (index, (label, name, unit, unit_spoken, tooltip)) in [
            ("Gain", "Chain gain", "", "", "Factor on the slide. Below 1 darkens it, above 1 brightens it; 1 leaves it."),
            ("Offset", "Chain offset", "%", "percent", "Added to the slide. Below 0 black is crushed, above 0 black is raised; 0 leaves it."),
            ("Noise", "Chain noise", "%", "percent", "How much the values flicker. For measuring only; the picture shows none of it."),
        ]
        .into_iter()
        .enumerate()
        {
            let field = NumberField {
                name,
                unit,
                unit_spoken,
                tooltip,
                value: values[index],
            };
            let change: Option<NumberChange> = row_ui(ui, label, |ui| field_ui(ui, field, false));
            apply_number(state, Setting::Chain, change, |value| {
                let mut values = values;
                values[index] = value;
                Edit::Chain(Some(values))
            });
        }
    }
    refusal_ui(ui, state, Setting::Chain);
}
