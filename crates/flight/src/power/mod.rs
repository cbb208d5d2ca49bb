//! Propeller, motor, battery and controller.
