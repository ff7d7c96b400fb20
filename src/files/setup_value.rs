//! Values as they stand in a setup file.

use clap::ValueEnum;
use toml_edit::{Array, Value};

/// The word of an enum, the same as on the command line.
pub(super) fn word_of<T: ValueEnum>(value: &T) -> String {
    value
        .to_possible_value()
        .map(|possible| possible.get_name().to_owned())
        .unwrap_or_default()
}

pub(super) fn word<T: ValueEnum>(value: &T) -> Value {
    Value::from(word_of(value))
}

pub(super) fn text(text: impl Into<String>) -> Value {
    Value::from(text.into())
}

pub(super) fn array(values: impl Iterator<Item = Value>) -> Value {
    Value::Array(values.collect::<Array>())
}

/// Whole numbers without a fraction, as a person writes them.
#[expect(
    clippy::cast_possible_truncation,
    reason = "only whole numbers below 2^53 are cast"
)]
pub(super) fn number(value: f64) -> Value {
    if value.fract() == 0.0 && value.abs() < 9.0e15 {
        Value::from(value as i64)
    } else {
        Value::from(value)
    }
}

pub(super) fn as_number(value: &Value) -> Option<f64> {
    value
        .as_float()
        .or_else(|| value.as_integer().map(|whole| whole as f64))
}
