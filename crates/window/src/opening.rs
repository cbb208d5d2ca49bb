//! A window that cannot be opened says why.
//!
//! Without a screen or a graphics driver the libraries that open windows panic; who
//! sits before it has to read what is missing, and not where a library gave up.

use std::panic::{self, PanicHookInfo};
use std::sync::Arc;

/// What a library says when it gives up, and what that means to people.
const MEANS: [(&str, &str); 3] = [
    (
        "Unable to find a GPU",
        "no graphics driver was found; on Debian and Ubuntu the package mesa-vulkan-drivers draws \
         even without a graphics card",
    ),
    (
        "event loop",
        "there is no screen here: neither DISPLAY nor WAYLAND_DISPLAY leads to one",
    ),
    (
        "Failed to create surface",
        "the graphics driver cannot draw on this screen; try another session, X11 or Wayland",
    ),
];

/// Does what opens the window.
pub fn opening<T>(open: impl FnOnce() -> T) -> T {
    let usual = Arc::new(panic::take_hook());
    let otherwise = Arc::clone(&usual);
    panic::set_hook(Box::new(move |info: &PanicHookInfo<'_>| {
        match info.payload_as_str().and_then(meaning) {
            Some(why) => {
                eprintln!(
                    "The window cannot be opened: {why}. Everything but the view works without \
                     one: `larkfield rehearse`."
                );
                std::process::exit(1);
            }
            None => otherwise(info),
        }
    }));
    let opened = open();
    panic::set_hook(Box::new(move |info| usual(info)));
    opened
}

fn meaning(said: &str) -> Option<&'static str> {
    let known = MEANS.iter().find(|(words, _)| said.contains(words));
    known.map(|(_, why)| *why)
}
