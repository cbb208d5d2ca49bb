//! Larkfield, the command-line program.

fn main() {}
