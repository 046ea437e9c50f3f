//! Opens the window, or does one command without it.

fn main() {}
