//! The field as a Bevy app without a window.
