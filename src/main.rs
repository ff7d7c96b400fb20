//! The command line of nightglass.

fn main() {}
