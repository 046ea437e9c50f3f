//! basteline
fn main() {}
