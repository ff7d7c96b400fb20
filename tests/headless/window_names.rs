//! Names and numbers over the picture: beside what they name, off writing and presenter, and never over each other.

use std::sync::Arc;

use egui::{Rect, Shape};
use egui_kittest::Harness;
use nightglass::files::setup_file::Setup;
use nightglass::measure::finding::{Severity, Unit};
use nightglass::measure::inspect::camera_finding::{CameraFinding, CameraKind};
use nightglass::measure::raster::pixel_box::PixelBox;
use nightglass::measure::space::zone::{Zone, ZoneKind};
use nightglass::pixel::guides::Guide;
use nightglass::window::action::Action;
use nightglass::window::edit::Edit;
use nightglass::window::overlays::Overlay;
use nightglass::window::panels::{PanelInputs, install, panels_ui};
use nightglass::window::picture_area::picture_ui;
use nightglass::window::picture_place::PicturePlace;
use nightglass::window::state::State;

use crate::window_findings::checked_deck;
use crate::window_inspect::seen;

fn bounds([x, y, width, height]: [u32; 4]) -> PixelBox {
    PixelBox {
        x,
        y,
        width,
        height,
    }
}

/// Writing lies at 200,100 and the presenter at 1100,300 to the lower edge; a reflection and faults of the writing.
fn camera(places: &[[u32; 4]]) -> State {
    let finding = |place: &[u32; 4]| CameraFinding {
        kind: CameraKind::Reflection,
        severity: Severity::Warn,
        bounds: Some(bounds(*place)),
        measured: 12.5,
        limit: 2.0,
        unit: Unit::Percent,
        advice: "Switch the lamp off.".to_owned(),
    };
    let mut state = checked_deck();
    let findings = places.iter().map(finding).collect();
    state.camera_check.put(Ok(Arc::new(seen(findings))));
    state
}

/// What is drawn over the picture, and where the picture lies.
fn drawn(size: [f32; 2], state: State) -> (Vec<Shape>, PicturePlace) {
    let place = std::rc::Rc::new(std::cell::Cell::new(None));
    let told = place.clone();
    let mut harness = Harness::builder()
        .with_size(size)
        .with_context_setup(install)
        .build_ui_state(
            move |ui, state: &mut State| {
                let area = panels_ui(ui, state, PanelInputs::default());
                told.set(Some(picture_ui(ui, &area, state)));
            },
            state,
        );
    harness.run();
    let place = place.get().unwrap();
    let in_picture = |clip: &Rect| place.rect.expand(1.0).contains_rect(*clip);
    let shapes = harness.output().shapes.iter();
    let shapes = shapes.filter(|clipped| in_picture(&clipped.clip_rect));
    let shapes = shapes.map(|clipped| clipped.shape.clone()).collect();
    (shapes, place)
}

/// The words among shapes with the rectangles that they take.
fn words_of(shapes: &[Shape]) -> Vec<(String, Rect)> {
    let texts = shapes.iter().filter_map(|shape| match shape {
        Shape::Text(text) => {
            let rect = Rect::from_min_size(text.pos, text.galley.size());
            Some((text.galley.text().to_owned(), rect))
        }
        _ => None,
    });
    texts.collect()
}

/// The words over the picture with the rectangles that they take, and where the picture lies.
fn names(size: [f32; 2], state: State) -> (Vec<(String, Rect)>, PicturePlace) {
    let (shapes, place) = drawn(size, state);
    (words_of(&shapes), place)
}

fn rect_of(names: &[(String, Rect)], words: &str) -> Rect {
    let named: Vec<&Rect> = names
        .iter()
        .filter(|(text, _)| text == words)
        .map(|(_, rect)| rect)
        .collect();
    assert_eq!(named.len(), 1, "{words} in {names:?}");
    *named[0]
}

/// A place of the output in points.
fn points(place: &PicturePlace, place_px: [u32; 4]) -> Rect {
    let visible = place.layout.visible_uv(place.area);
    assert_eq!(visible, [1.0, 1.0], "all of it is in sight");
    let picture = place.layout.window_from_output([0.0, 0.0]);
    let scale = place.layout.zoom;
    let [x, y, width, height] = place_px.map(f64::from);
    let at = |v: f64, start: f64| (start + v * scale) as f32 / place.pixels_per_point;
    Rect::from_min_max(
        egui::pos2(at(x, picture[0]), at(y, picture[1])),
        egui::pos2(at(x + width, picture[0]), at(y + height, picture[1])),
    )
}

fn apart(names: &[(String, Rect)]) {
    for (index, (words, rect)) in names.iter().enumerate() {
        for (other, there) in &names[index + 1..] {
            let shared = rect.intersect(*there);
            let is_apart = shared.width() <= 0.5 || shared.height() <= 0.5;
            assert!(is_apart, "{words} {rect:?} lies on {other} {there:?}");
        }
    }
}

#[test]
fn overlays_are_named_at_their_own_edge() {
    let mut state = camera(&[[1700, 60, 40, 40]]);
    let free = vec![bounds([100, 400, 600, 300]), bounds([1650, 300, 60, 400])];
    state.camera_check.put_free_boxes(free);
    for overlay in Overlay::ALL {
        state.apply(Action::ToggleOverlay(overlay));
    }
    let (names, place) = names([1280.0, 900.0], state);
    let presenter = rect_of(&names, "presenter");
    let figure = points(&place, [1100, 300, 500, 780]);
    assert!((presenter.center().x - figure.center().x).abs() < 2.0);
    assert!(presenter.bottom() <= figure.top() && figure.top() - presenter.bottom() < 12.0);
    let writing = rect_of(&names, "writing");
    let line = points(&place, [200, 100, 400, 60]);
    assert!(writing.left() >= line.right() && writing.left() - line.right() < 12.0);
    assert!((writing.center().y - line.center().y).abs() < 2.0);
    // The name of a wide box stands in it, that of a narrow one beside it.
    let wide = points(&place, [100, 400, 600, 300]);
    assert!(wide.contains_rect(rect_of(&names, "free 1")));
    let narrow = points(&place, [1650, 300, 60, 400]);
    let name = rect_of(&names, "free 2");
    assert!(
        !narrow.intersects(name) && narrow.expand(14.0).intersects(name),
        "{name:?}"
    );
    rect_of(&names, "reflection 12.5 %");
    apart(&names);
}

#[test]
fn numbers_of_findings_stand_beside_their_places_and_off_the_writing() {
    // Two at the same corner, one below the writing, one at the upper edge, and two whose left corner is the same.
    let places = [
        [900, 500, 60, 40],
        [900, 500, 60, 40],
        [200, 165, 400, 60],
        [700, 0, 80, 30],
        [50, 600, 300, 200],
        [50, 600, 100, 50],
    ];
    let mut state = camera(&places);
    state.apply(Action::ToggleInspect);
    let (names, place) = names([1280.0, 900.0], state);
    let writing = points(&place, [200, 100, 400, 60]);
    for (number, place_px) in (1..).zip(places) {
        let name = rect_of(&names, &number.to_string());
        let marked = points(&place, place_px);
        assert!(!name.intersects(writing), "{number} at {name:?}");
        assert!(marked.expand(30.0).intersects(name), "{number} at {name:?}");
        let is_inside_another = number == 6;
        assert!(
            is_inside_another || !marked.intersects(name),
            "{number} at {name:?}"
        );
    }
    apart(&names);
}

#[test]
fn a_line_leads_from_a_number_that_stands_off_its_place_and_under_all_numbers() {
    // In the writing, so that its number stands over or under the writing, and one with room beside it.
    let places = [[380, 120, 40, 20], [900, 500, 60, 40]];
    let mut state = camera(&places);
    state.apply(Action::ToggleInspect);
    let (shapes, place) = drawn([1280.0, 900.0], state);
    let names = words_of(&shapes);
    let ends = |shape: &Shape| match shape {
        Shape::LineSegment { points, stroke } => Some((*points, stroke.width)),
        _ => None,
    };
    // From the plate, which is a margin wider than its words, to the outline of the place.
    let leads_to = |number: u32, place_px: [u32; 4]| {
        let plate = rect_of(&names, &number.to_string()).expand2(egui::vec2(4.0, 2.0));
        let marked = points(&place, place_px).expand(12.0);
        let lines = shapes.iter().enumerate().filter_map(|(index, shape)| {
            let ([from, to], width) = ends(shape)?;
            (plate.contains(from) && marked.contains(to)).then_some((index, width, from, to))
        });
        lines.collect::<Vec<_>>()
    };
    let writing = points(&place, [200, 100, 400, 60]);
    assert!(!rect_of(&names, "1").intersects(writing), "{names:?}");
    let lines = leads_to(1, places[0]);
    let [dark, light] = lines[..] else {
        panic!("{lines:?}");
    };
    // Light on dark, so that it is seen on any picture.
    assert!(dark.1 > light.1 && dark.0 < light.0, "{lines:?}");
    assert!(light.2.distance(light.3) > 2.0, "{lines:?}");
    assert_eq!(leads_to(2, places[1]), []);
    let first_number = shapes.iter().position(|shape| match shape {
        Shape::Text(text) => ["1", "2"].contains(&text.galley.text()),
        _ => false,
    });
    assert!(first_number.is_some_and(|number| light.0 < number));
}

#[test]
fn guides_are_named_where_nothing_is_written_and_where_names_find_room() {
    for size in [[1280.0, 900.0], [480.0, 360.0]] {
        let mut state = camera(&[]);
        for overlay in Overlay::ALL {
            state.apply(Action::ToggleOverlay(overlay));
        }
        for guide in Guide::ALL {
            state.apply(Action::Edit(Edit::Guide(guide, true)));
        }
        let (names, place) = names(size, state);
        assert!(names.len() >= 4, "{names:?}");
        apart(&names);
        let writing = points(&place, [200, 100, 400, 60]);
        for (words, rect) in &names {
            assert!(!rect.shrink(1.0).intersects(writing), "{words} {rect:?}");
        }
    }
}

#[test]
fn names_over_a_low_picture_are_small_and_short_and_those_of_guides_beside_it() {
    let zone = |name: &str, kind, place| Zone::new(name.to_owned(), kind, place).unwrap();
    let setup = Setup {
        zones: vec![
            zone("station clock", ZoneKind::KeepOut, [55.0, 5.0, 40.0, 30.0]),
            zone("table of tides", ZoneKind::KeepIn, [5.0, 55.0, 40.0, 35.0]),
        ],
        guides: Guide::ALL.to_vec(),
        ..Setup::default()
    };
    let drawn_at = |size| {
        let mut state = State::new(setup.clone(), None);
        state.deck_loaded(Vec::new(), vec!["tides".to_owned()]);
        state.settings_open_wide = false;
        drawn(size, state)
    };
    let heights = |shapes: &[Shape], words: &str| {
        let rect = rect_of(&words_of(shapes), words);
        (rect.height(), rect)
    };
    let (large, _) = drawn_at([1280.0, 900.0]);
    let (high, _) = heights(&large, "station clock: keep out");
    heights(&large, "table of tides: keep in");
    heights(&large, "action safe, margin 3.5 %");
    let (small, place) = drawn_at([480.0, 360.0]);
    let picture = points(&place, [0, 0, 1920, 1080]);
    for (words, zone_px) in [
        ("station clock", [1056, 54, 768, 324]),
        ("table of tides", [96, 594, 768, 378]),
    ] {
        let (low, rect) = heights(&small, words);
        assert!(low < high, "{words}: {low} and {high}");
        let zone = points(&place, zone_px);
        let hidden = rect.intersect(zone).height();
        assert!(
            hidden < 0.7 * low,
            "{words} hides {hidden} of what is in the zone"
        );
    }
    let names = words_of(&small);
    for guide in Guide::ALL {
        let rect = rect_of(&names, guide.short_label());
        assert!(!rect.intersects(picture), "{guide:?} at {rect:?}");
        assert!(place.rect.contains_rect(rect), "{guide:?} at {rect:?}");
    }
    apart(&names);
}

#[test]
fn however_many_findings_there_are_no_number_lies_on_another() {
    for size in [[1280.0, 900.0], [480.0, 360.0]] {
        let places: Vec<[u32; 4]> = (0..60)
            .map(|n| [900 + 7 * (n % 5), 400 + 5 * (n % 7), 60, 40])
            .collect();
        let mut state = camera(&places);
        state.apply(Action::ToggleInspect);
        let (names, _) = names(size, state.clone());
        assert!(names.len() >= 5, "{} at {size:?}", names.len());
        apart(&names);
        // The one that is selected always has its number.
        state.apply(Action::SelectCameraFinding(Some(59)));
        state.apply(Action::ZoomFit);
        let (names, _) = self::names(size, state);
        rect_of(&names, "60");
        apart(&names);
    }
}
