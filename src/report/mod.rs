//! What was measured, for people and programs to read: strings and pictures. Writes no files.

pub mod before_after;
