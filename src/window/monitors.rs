//! The monitors there are, and which one the clean output is for.

use winit::event_loop::ActiveEventLoop;
use winit::monitor::MonitorHandle;

use super::action::{Action, MessageKind};
use super::state::{Monitor, State};

/// The monitors as the window system knows them, in the order in which the state lists them.
#[derive(Debug, Default)]
pub struct Monitors {
    handles: Vec<MonitorHandle>,
}

impl Monitors {
    /// Lists the monitors anew. The clean output is closed if its monitor is gone, for on another one it
    /// would cover what somebody works with.
    pub fn list(&mut self, event_loop: &ActiveEventLoop, state: &mut State) {
        let before = self.handle(state.monitor_index).cloned();
        self.handles = event_loop.available_monitors().collect();
        state.set_monitors(self.words());
        let Some(before) = before else {
            return;
        };
        match self.handles.iter().position(|handle| *handle == before) {
            Some(index) => state.apply(Action::ChooseMonitor(index)),
            None if state.output_on => {
                state.apply(Action::ToggleOutput);
                let words = "The monitor of the clean output is gone; the clean output is closed.";
                state.tell(MessageKind::Warning, words);
            }
            None => {}
        }
    }

    /// Chooses the monitor for the clean output: the one asked for, where it is opened at once, else
    /// one that does not show the window.
    pub fn choose_first(
        &self,
        asked_for: Option<usize>,
        shown_on: Option<&MonitorHandle>,
        state: &mut State,
    ) {
        let Some(index) = asked_for else {
            let other = |handle: &MonitorHandle| Some(handle) != shown_on;
            if let Some(index) = self.handles.iter().position(other) {
                state.apply(Action::ChooseMonitor(index));
            }
            return;
        };
        if index < self.handles.len() {
            state.apply(Action::ChooseMonitor(index));
            state.apply(Action::ToggleOutput);
        } else {
            let words = format!(
                "There is no monitor {} for the clean output, only {}.",
                index + 1,
                self.handles.len()
            );
            state.tell(MessageKind::Error, words);
        }
    }

    /// A monitor by its place in the list.
    pub fn handle(&self, index: usize) -> Option<&MonitorHandle> {
        self.handles.get(index)
    }

    /// As the panels list them.
    fn words(&self) -> Vec<Monitor> {
        let words = |(index, handle): (usize, &MonitorHandle)| Monitor {
            name: handle
                .name()
                .filter(|name| !name.is_empty())
                .unwrap_or_else(|| format!("monitor {}", index + 1)),
            size: handle.size().into(),
        };
        self.handles.iter().enumerate().map(words).collect()
    }
}
