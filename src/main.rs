//! The program: reads its arguments and opens the window or answers on the command line.

fn main() {}
