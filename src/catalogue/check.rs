//! What a check is: why, how, where, in which state, what is read, and which faults it can find.

use serde::{Deserialize, Serialize};

use super::{Condition, On, Origin};
use crate::inspection::{Severity, Station, Value, Zone};
use crate::machine::Stance;

/// The state the engine (or motor) is in while a check is done.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub enum Engine {
    /// Not run since it stood at least three hours.
    Cold,
    /// Off, warm or cold.
    Off,
    /// Running.
    Running,
    /// Off after a run.
    Warm,
    /// Off, straight after a ride.
    Hot,
    /// On the road.
    Ridden,
}

impl Engine {
    /// In words.
    pub fn word(self) -> &'static str {
        match self {
            Self::Cold => "cold, not run for three hours",
            Self::Off => "engine off",
            Self::Running => "engine running",
            Self::Warm => "warm, just run",
            Self::Hot => "hot, just ridden",
            Self::Ridden => "on the road",
        }
    }
}

/// A check of the catalogue.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Check {
    /// Its id, used once.
    pub id: String,
    /// What it is called, a few words.
    pub title: String,
    /// Whether it stands in the place of one with the same id; only a garage's own file needs to say so.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub replaces: bool,
    /// The garage's file that it was read from, if it is not built in.
    #[serde(skip)]
    pub origin: Option<Origin>,
    /// What it is made on.
    pub on: On,
    /// Where one stands; for a check on each wheel, the wheel's own station goes before it.
    pub station: Station,
    /// Which machines it applies to; all conditions must hold.
    #[serde(default)]
    pub when: Vec<Condition>,
    /// Why it matters.
    pub why: String,
    /// How it is done.
    pub how: String,
    /// What is needed, empty for eyes and hands.
    #[serde(default)]
    pub tool: String,
    /// How the machine stands.
    pub stance: Stance,
    /// What the engine does.
    pub engine: Engine,
    /// Minutes it takes an experienced hand.
    pub minutes: f32,
    /// Whether the ignition is on while the engine is not; else it is off, so that the battery is spared.
    #[serde(default)]
    pub ignition: bool,
    /// Whether seat and covers are off.
    #[serde(default)]
    pub covers_off: bool,
    /// Whether luggage is off.
    #[serde(default)]
    pub luggage_off: bool,
    /// Whether it cannot be done without a second person.
    #[serde(default)]
    pub helper: bool,
    /// Ids of checks that come before it on the same walk, where both are done.
    #[serde(default)]
    pub after: Vec<String>,
    /// Ids of checks without which it is not done: where they are asked, they are done earlier on the same walk.
    #[serde(default)]
    pub needs: Vec<String>,
    /// Ids of the cautions to show with it.
    #[serde(default)]
    pub cautions: Vec<String>,
    /// What a fault looks, feels or sounds like.
    #[serde(default)]
    pub signs: String,
    /// The item of Directive 2014/45/EU annex I that covers it, if any.
    #[serde(default)]
    pub item: Option<String>,
    /// The limits that hold for any machine, where there are such, each with its source. The machine's own figure goes
    /// before them.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub limits: Vec<GeneralLimit>,
    /// Where on the wheel its findings can be.
    #[serde(default)]
    pub zones: Vec<ZoneGroup>,
    /// What is read.
    #[serde(default)]
    pub fields: Vec<Field>,
    /// The fields that decide the check by themselves: when all of them are read and judged sound, it is sound. Empty
    /// where someone must also say that they looked, because a reading does not show every fault (a thick disc may
    /// still be cracked).
    #[serde(default)]
    pub decided_by: Vec<String>,
    /// What can be found.
    #[serde(default)]
    pub faults: Vec<Fault>,
}

impl Check {
    /// A check of somebody's own on the machine as a whole, looked at with the engine off, with one fault of the lowest
    /// class so that something can be found; a person may set it higher.
    pub fn of_ones_own(id: &str, title: &str, station: Station, why: &str, how: &str, minutes: f32) -> Self {
        let fault = Fault {
            id: "not-right".into(),
            words: "not as it should be".into(),
            severity: Severity::Minor,
            item: None,
            practice: None,
            advice: String::new(),
            sized: false,
        };
        Self {
            id: id.to_owned(),
            title: title.to_owned(),
            replaces: false,
            origin: None,
            on: On::Machine,
            station,
            when: Vec::new(),
            why: why.to_owned(),
            how: how.to_owned(),
            tool: String::new(),
            stance: Stance::SideStand,
            engine: Engine::Off,
            minutes,
            ignition: false,
            covers_off: false,
            luggage_off: false,
            helper: false,
            after: Vec::new(),
            needs: Vec::new(),
            cautions: Vec::new(),
            signs: String::new(),
            item: None,
            limits: Vec::new(),
            zones: Vec::new(),
            fields: Vec::new(),
            decided_by: Vec::new(),
            faults: vec![fault],
        }
    }
    /// The fault with an id.
    pub fn fault(&self, id: &str) -> Option<&Fault> {
        self.faults.iter().find(|f| f.id == id)
    }
    /// The field with an id.
    pub fn field(&self, id: &str) -> Option<&Field> {
        self.fields.iter().find(|f| f.id == id)
    }
    /// Whether its findings can be in a zone.
    pub fn covers(&self, zone: Zone) -> bool {
        self.zones.iter().any(|g| g.holds(zone))
    }
}

/// A limit that holds where the machine has none of its own.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct GeneralLimit {
    /// The figure, in words.
    pub words: String,
    /// The document, or common practice.
    pub source: String,
}

/// A part of the wheel that a check looks at.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub enum ZoneGroup {
    /// The five zones of the tread.
    Tread,
    /// The sidewalls.
    Sidewalls,
    /// The beads.
    Beads,
    /// Flanges and well.
    Rim,
    /// The spokes.
    Spokes,
    /// The hub.
    Hub,
    /// The discs.
    Discs,
}

impl ZoneGroup {
    /// Whether a zone is in the group.
    pub fn holds(self, zone: Zone) -> bool {
        match self {
            Self::Tread => zone.is_tread(),
            Self::Sidewalls => matches!(zone, Zone::Sidewall(_)),
            Self::Beads => matches!(zone, Zone::Bead(_)),
            Self::Rim => matches!(zone, Zone::RimFlange(_) | Zone::RimWell),
            Self::Spokes => zone == Zone::Spoke,
            Self::Hub => zone == Zone::Hub,
            Self::Discs => matches!(zone, Zone::Disc(_)),
        }
    }
}

/// Something that is read at a check.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Field {
    /// Its id within the check.
    pub id: String,
    /// What it is called.
    pub label: String,
    /// What kind of value it takes.
    pub kind: FieldKind,
    /// A word of help beside it.
    #[serde(default)]
    pub hint: String,
}

/// The kind of value a field takes; see [`crate::inspection::Value`].
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub enum FieldKind {
    /// A pressure.
    Pressure,
    /// A small depth or thickness, shown in the user's depth unit.
    Depth,
    /// A longer length.
    Length,
    /// A temperature.
    Temperature,
    /// A voltage.
    Voltage,
    /// A torque.
    Torque,
    /// A distance.
    Distance,
    /// A plain number.
    Number,
    /// A day.
    Date,
    /// One of these.
    Choice(Vec<Choice>),
    /// A fluid level with stance and temperature.
    Level,
    /// Tread depths round the clock and across the zones.
    TreadGrid,
    /// Dial readings round the clock.
    DialSurvey,
    /// Lengths of zero or more round the clock: thickness, slack.
    RoundDepth,
    /// Plain numbers round the clock, or at each spoke of a spoked wheel: tension on the meter's own scale.
    RoundNumber,
    /// A torque for each fastener that the machine's record names.
    Fasteners,
}

impl FieldKind {
    /// Whether a value is of this kind. Whether a choice is one of the field's own is another question.
    pub fn takes(&self, value: &Value) -> bool {
        matches!(
            (self, value),
            (Self::Pressure, Value::Pressure(_))
                | (Self::Depth | Self::Length, Value::Length(_))
                | (Self::Temperature, Value::Temperature(_))
                | (Self::Voltage, Value::Voltage(_))
                | (Self::Torque, Value::Torque(_))
                | (Self::Distance, Value::Distance(_))
                | (Self::Number, Value::Number(_))
                | (Self::Date, Value::Date(_))
                | (Self::Choice(_), Value::Choice(_))
                | (Self::Level, Value::Level(_))
                | (Self::TreadGrid, Value::Tread(_))
                | (Self::DialSurvey, Value::Dial(..))
                | (Self::RoundDepth, Value::Round(_))
                | (Self::RoundNumber, Value::Numbers(_))
                | (Self::Fasteners, Value::Torques(_))
        )
    }
}

/// One of the choices of a field.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Choice {
    /// Its id.
    pub id: String,
    /// What it says.
    pub label: String,
    /// The fault of the same check that choosing it amounts to; none when it is sound.
    #[serde(default)]
    pub fault: Option<String>,
}

/// A fault that a check can find, with its class.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Fault {
    /// Its id within the check.
    pub id: String,
    /// What is seen, in a few words.
    pub words: String,
    /// Its class. After the directive where `item` names one, else by common practice.
    pub severity: Severity,
    /// The item of Directive 2014/45/EU annex I that grades it so.
    #[serde(default)]
    pub item: Option<String>,
    /// A higher class by common practice, with the reason; it raises, never lowers (house rule 4).
    #[serde(default)]
    pub practice: Option<(Severity, String)>,
    /// A word of advice, for example to leave a nail in until it is repaired.
    #[serde(default)]
    pub advice: String,
    /// Whether its size is worth measuring.
    #[serde(default)]
    pub sized: bool,
}

/// A caution shown where the step is done and in the reports.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Caution {
    /// Its id, used once.
    pub id: String,
    /// A few words.
    pub title: String,
    /// What to do, plainly.
    pub text: String,
    /// Where it comes from.
    pub source: String,
}
