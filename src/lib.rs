//! Stemclock: decide whether each motorcycle in a garage is fit to ride, and what to put right first.

pub mod guard;

pub mod units;

pub mod clock;

pub mod physics;

pub mod stats;

pub mod tyre;

pub mod photo;

pub mod machine;

pub mod inspection;

pub mod exercise;

pub mod survey;

pub mod garage;

pub mod history;

pub mod catalogue;

pub mod rules;

pub mod forecast;

pub mod class;

pub mod guide;
pub mod walk;

pub mod edit;

pub mod reckon;

pub mod repair;

pub mod drawing;

pub mod report;

pub mod store;

pub mod ui;

pub mod app;

pub mod cli;
