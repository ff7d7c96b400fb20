//! What comes in from the window system, the loader and the watcher, and what the application does then.
//! It sleeps while nothing happens.

use winit::application::ApplicationHandler;
use winit::event::{StartCause, WindowEvent};
use winit::event_loop::{ActiveEventLoop, ControlFlow};
use winit::window::WindowId;

use super::action::Action;
use super::application::Application;
use super::dialogs::action_of;
use super::event::Event;
use super::followed_files::take_changed;
use super::key_event::{is_escape, is_key_press, shows_nothing};
use super::stage::Stage;

impl Application {
    /// What happens to the window with the panels.
    fn main_event(&mut self, event_loop: &ActiveEventLoop, event: &WindowEvent) {
        // A key may open a field that the next one is meant for, so each has a turn of its own.
        let follows_key = |stage: &Stage| is_key_press(event) && stage.main().has_waiting_key();
        if self.stage.as_ref().is_some_and(follows_key) {
            self.update(event_loop, false);
        }
        let Some(stage) = &mut self.stage else {
            return;
        };
        let response = stage.main_mut().take_event(event);
        match event {
            // A new size is drawn at once, so that no old frame is stretched to it. After a redraw
            // egui asks for another turn; honouring that would never end.
            WindowEvent::RedrawRequested => {
                stage.main_mut().take_redraw();
                self.update(event_loop, true);
            }
            WindowEvent::Resized(_) => {
                stage.main_mut().damage();
                self.update(event_loop, true);
            }
            WindowEvent::Occluded(false) => {
                stage.main_mut().damage();
                self.request_redraw();
            }
            WindowEvent::CloseRequested => {
                self.state.apply(Action::Close);
                self.request_redraw();
            }
            WindowEvent::Focused(true) => {
                stage.main_mut().damage();
                // A monitor may have come or gone; the window system does not tell.
                self.monitors.list(event_loop, &mut self.state);
                self.request_redraw();
            }
            WindowEvent::DroppedFile(path) => {
                self.dropped.push(path.clone());
                self.request_redraw();
            }
            // Shift held for a plus, say, or let go: what follows shall not wait for a frame.
            _ if shows_nothing(event) => {}
            _ if response.repaint => self.request_redraw(),
            _ => {}
        }
    }

    /// What happens to the clean output. Its keys are the window's, so that a clicker works there too.
    fn output_event(&mut self, event_loop: &ActiveEventLoop, event: &WindowEvent) {
        let Some(stage) = &mut self.stage else {
            return;
        };
        match event {
            WindowEvent::CloseRequested => self.close_output(),
            WindowEvent::KeyboardInput { event: key, .. } if is_escape(key) => {
                self.close_output();
            }
            WindowEvent::KeyboardInput { .. } | WindowEvent::ModifiersChanged(_)
                if stage.main_mut().take_event(event).repaint =>
            {
                self.update(event_loop, false);
            }
            WindowEvent::Focused(true) => {
                // Letters pressed here are keys, never text for a field of the window.
                self.egui.memory_mut(egui::Memory::stop_text_input);
            }
            // No picture is made for what nobody sees; once it is seen again it shows what has changed meanwhile.
            WindowEvent::Occluded(hidden) => {
                self.state.output_hidden = *hidden;
                self.update(event_loop, false);
            }
            WindowEvent::RedrawRequested | WindowEvent::Resized(_) => {
                stage.damage_output();
                self.show_output(event_loop);
            }
            _ => {}
        }
    }

    fn close_output(&mut self) {
        if self.state.output_on {
            self.state.apply(Action::ToggleOutput);
        }
        self.request_redraw();
    }
}

impl ApplicationHandler<Event> for Application {
    fn resumed(&mut self, event_loop: &ActiveEventLoop) {
        if self.stage.is_some() {
            return;
        }
        match self.open(event_loop) {
            Ok(()) => self.update(event_loop, true),
            Err(error) => self.fail(event_loop, error),
        }
    }

    fn new_events(&mut self, _event_loop: &ActiveEventLoop, cause: StartCause) {
        if let StartCause::ResumeTimeReached { .. } = cause {
            self.next_turn = None;
            self.request_redraw();
        }
    }

    fn window_event(&mut self, event_loop: &ActiveEventLoop, id: WindowId, event: WindowEvent) {
        let Some(stage) = &self.stage else {
            return;
        };
        if id == stage.main().id() {
            self.main_event(event_loop, &event);
        } else if stage.is_output(id) {
            self.output_event(event_loop, &event);
        }
    }

    fn user_event(&mut self, event_loop: &ActiveEventLoop, event: Event) {
        match event {
            Event::Loaded(loaded) => {
                if let Some(loaded) = self.checks.take(*loaded, &mut self.state) {
                    self.pictures.take(loaded, &mut self.state, &self.egui);
                }
                self.update(event_loop, false);
            }
            Event::Changed(paths) => {
                take_changed(&paths, &mut self.state, &mut self.pictures);
                self.update(event_loop, false);
            }
            Event::Chosen(kind, paths) => {
                self.state.apply(action_of(kind, paths));
                self.update(event_loop, false);
            }
            Event::Accessibility(event) => {
                if let Some(stage) = &mut self.stage {
                    stage
                        .main_mut()
                        .take_accessibility(event.window_event, &self.egui);
                }
                self.request_redraw();
            }
        }
    }

    fn about_to_wait(&mut self, event_loop: &ActiveEventLoop) {
        event_loop.set_control_flow(match self.next_turn {
            Some(at) => ControlFlow::WaitUntil(at),
            None => ControlFlow::Wait,
        });
    }
}
