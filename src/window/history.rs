//! Undo and redo of settings, zones and of what was accepted. A drag is one step. Files, views and zoom are
//! not part of it.

use super::edit::Setting;
use crate::files::setup_file::Setup;
use crate::measure::accepted::Accepted;
use crate::measure::space::zone::Zone;
use crate::pixel::guides::Guide;
use crate::pixel::settings::{Engine, Settings};

/// How many steps can be taken back. Source: chosen, far more than a session of tuning has.
const MAX_STEPS: usize = 500;

/// What undo works on: the setup, and whether its chain is left out for now.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Edited {
    /// The setup.
    pub setup: Setup,
    /// Whether the chain is left out for a moment; no file keeps that.
    pub chain_left_out: bool,
}

/// The part of it that undo restores.
#[derive(Clone, Debug, PartialEq)]
pub struct Snapshot {
    settings: Settings,
    guides: Vec<Guide>,
    mirror_monitor: bool,
    engine: Engine,
    accepted: Vec<Accepted>,
    zones: Vec<Zone>,
    chain_left_out: bool,
}

impl Snapshot {
    /// The part of `edited` that undo restores.
    pub fn of(edited: &Edited) -> Self {
        let Edited {
            setup,
            chain_left_out,
        } = edited;
        Self {
            settings: setup.settings,
            guides: setup.guides.clone(),
            mirror_monitor: setup.mirror_monitor,
            engine: setup.engine,
            accepted: setup.accepted.clone(),
            zones: setup.zones.clone(),
            chain_left_out: *chain_left_out,
        }
    }

    /// Puts the values back; the view stays as it is.
    fn restore(self, edited: &mut Edited) {
        edited.chain_left_out = self.chain_left_out;
        let setup = &mut edited.setup;
        let view = setup.settings.view;
        setup.settings = self.settings;
        setup.settings.view = view;
        setup.guides = self.guides;
        setup.mirror_monitor = self.mirror_monitor;
        setup.engine = self.engine;
        setup.accepted = self.accepted;
        setup.zones = self.zones;
    }
}

/// The steps before and after now.
#[derive(Clone, Debug, Default)]
pub struct History {
    before: Vec<Snapshot>,
    after: Vec<Snapshot>,
    dragged: Option<Setting>,
}

impl History {
    /// Notes what the setup was before a change.
    ///
    /// With `dragged`, changes of the same setting join the step that is open.
    pub fn record(&mut self, before: Snapshot, dragged: Option<Setting>) {
        let joins = dragged.is_some() && self.dragged == dragged;
        self.dragged = dragged;
        if joins {
            return;
        }
        self.after.clear();
        if self.before.len() == MAX_STEPS {
            self.before.remove(0);
        }
        self.before.push(before);
    }

    /// Ends the open step.
    pub fn end_drag(&mut self) {
        self.dragged = None;
    }

    /// Puts back what the open step of a drag has changed, as if it had never begun.
    pub fn take_drag_back(&mut self, edited: &mut Edited) {
        if self.dragged.take().is_some()
            && let Some(snapshot) = self.before.pop()
        {
            snapshot.restore(edited);
        }
    }

    /// Whether there is a step to take back.
    pub fn can_undo(&self) -> bool {
        !self.before.is_empty()
    }

    /// Whether an undo can be taken back.
    pub fn can_redo(&self) -> bool {
        !self.after.is_empty()
    }

    /// Takes the last step back.
    pub fn undo(&mut self, edited: &mut Edited) {
        self.end_drag();
        if let Some(snapshot) = self.before.pop() {
            self.after.push(Snapshot::of(edited));
            snapshot.restore(edited);
        }
    }

    /// Takes the last undo back.
    pub fn redo(&mut self, edited: &mut Edited) {
        self.end_drag();
        if let Some(snapshot) = self.after.pop() {
            self.before.push(Snapshot::of(edited));
            snapshot.restore(edited);
        }
    }
}
