//! The pilot who only opens the throttle.

use crate::{ControlMessage, Task, Truth};

/// Throttle as the task says, everything else centred.
#[derive(Debug, Clone, PartialEq)]
pub struct HandsOff {
    task: Task,
    free_since_s: Option<f64>,
}

impl HandsOff {
    /// A pilot with this task.
    pub fn new(task: Task) -> Self {
        Self {
            task,
            free_since_s: None,
        }
    }

    /// What the hands do now.
    pub fn act(&mut self, time_s: f64, truth: &Truth) -> ControlMessage {
        if !truth.in_hand && self.free_since_s.is_none() {
            self.free_since_s = Some(time_s);
        }
        let free_s = self.free_since_s.map(|since_s| time_s - since_s);
        let mut message = ControlMessage {
            hand_off: truth.hand_off,
            trims: self.task.trims,
            ..ControlMessage::default()
        };
        message.sticks.throttle = self.task.launch_throttle(free_s);
        message
    }
}
