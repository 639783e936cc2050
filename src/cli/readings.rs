//! The readings of a check as data for scripts: each under its field's id, with its unit in the name.

use serde_json::{Map, Value as Json, json};

use crate::clock::Side;
use crate::inspection::{Answer, Value};

/// What was typed for a check, by field; empty where nothing was.
pub fn readings(answer: Option<&Answer>) -> Json {
    let read = answer.into_iter().flat_map(|answer| &answer.readings);
    Json::Object(read.map(|(field, value)| (field.clone(), data(value))).collect::<Map<_, _>>())
}

fn data(value: &Value) -> Json {
    match value {
        Value::Pressure(v) => json!({ "pressure_kpa": v.base() }),
        Value::Length(v) => json!({ "length_mm": v.base() }),
        Value::Temperature(v) => json!({ "temperature_c": v.base() }),
        Value::Voltage(v) => json!({ "voltage_v": v.base() }),
        Value::Torque(v) => json!({ "torque_nm": v.base() }),
        Value::Distance(v) => json!({ "distance_km": v.base() }),
        Value::Speed(v) => json!({ "speed_kmh": v.base() }),
        Value::Mass(v) => json!({ "mass_kg": v.base() }),
        Value::Force(v) => json!({ "force_n": v.base() }),
        Value::Number(v) => json!({ "number": v }),
        Value::Date(v) => json!({ "date": v.to_string() }),
        Value::Choice(id) => json!({ "choice": id }),
        Value::Level(level) => json!({
            "level": level.mark.word(),
            "stance": level.stance.word(),
            "fluid": level.state.word(),
        }),
        Value::Tread(points) => json!({ "tread": points.iter().map(|point| json!({
            "clock_from_right": point.spot.time(Side::Right).to_string(),
            "depth_mm": point.depths.iter().map(|(zone, depth)| (zone.words(), depth.base().into())).collect::<Map<String, Json>>(),
        })).collect::<Vec<_>>() }),
        Value::Torques(list) => json!({ "torques": list.iter().map(|one| json!({
            "fastener": one.fastener,
            "torque_nm": one.torque.base(),
        })).collect::<Vec<_>>() }),
        Value::Dial(side, points) => json!({ "side": side.word(), "dial": points.iter().map(|point| json!({
            "clock_from_right": point.spot.time(Side::Right).to_string(),
            "reading_mm": point.reading.base(),
        })).collect::<Vec<_>>() }),
        Value::Round(points) => json!({ "round": points.iter().map(|point| json!({
            "clock_from_right": point.spot.time(Side::Right).to_string(),
            "length_mm": point.reading.base(),
        })).collect::<Vec<_>>() }),
        Value::Numbers(points) => json!({ "round": points.iter().map(|point| json!({
            "clock_from_right": point.spot.time(Side::Right).to_string(),
            "number": point.reading,
        })).collect::<Vec<_>>() }),
    }
}
