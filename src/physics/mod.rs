//! Physics that explains readings: pure functions of quantities. Must not know machines, rules, files or the window.

pub mod gas;
