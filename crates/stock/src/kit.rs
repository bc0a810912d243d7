//! The shop: machines, blades, clamps, people, hours, prices and units.

use std::collections::BTreeMap;

use handbook::{GlueKey, OwnRows};
use jiff::civil::{Date, Time};
use measure::{Force, Length, Moisture, Money, Temperature, Units};
use serde::{Deserialize, Serialize};
use ts_rs::TS;

use crate::{BladeId, Climate, PersonId, ZoneKind};

/// What the shop has, and how it works.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS)]
pub struct ShopKit {
    /// What the shop is called; printed on the packet.
    pub name: String,
    /// How its people write and read lengths.
    pub units: Units,
    /// What its printer takes.
    pub paper: Paper,
    /// The sign before an amount of money.
    pub currency: String,
    /// The bandsaw with its blades.
    pub bandsaw: Bandsaw,
    /// The other machines.
    pub machines: Machines,
    /// Clamps, by kind.
    pub clamps: Vec<Clamp>,
    /// How deep its cauls are, from the clamp's pad to the panel's edge; none
    /// where panels are clamped without.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[ts(optional)]
    pub caul: Option<Length>,
    /// Who works here.
    pub people: Vec<Person>,
    /// Days on which nobody works.
    #[ts(type = "Array<string>")]
    pub closed: Vec<Date>,
    /// The shop's air.
    pub air: Climate,
    /// How sanding is done.
    pub sanding: SandingTool,
    /// What things cost.
    pub prices: Prices,
    /// Wood that is left on for the machines to take.
    pub allowances: Allowances,
    /// Kept clear of zones of a kind, where that is another way than from the
    /// outline's edge: a check runs on past its end.
    #[serde(default)]
    #[ts(type = "Record<string, number>")]
    pub clear_of: BTreeMap<ZoneKind, Length>,
    /// The glue that is used where a job names none.
    pub glue: GlueKey,
    /// Its own woods, finishes and glues, which come before the tables'.
    #[serde(default)]
    pub own: OwnRows,
}

/// Paper sizes.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize, TS)]
#[serde(rename_all = "snake_case")]
pub enum Paper {
    /// 8 1/2 by 11 inches.
    #[default]
    Letter,
    /// 210 by 297 mm (ISO 216).
    A4,
}

impl Paper {
    /// Width and height, upright.
    pub const fn size(self) -> (Length, Length) {
        match self {
            Paper::Letter => (Length::inches(8.5), Length::inches(11.0)),
            Paper::A4 => (Length::mm(210.0), Length::mm(297.0)),
        }
    }
}

/// A bandsaw and its blades.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS)]
pub struct Bandsaw {
    /// From the blade to the column.
    pub throat: Length,
    /// The highest work that passes under the guide.
    pub height: Length,
    /// The wheels' diameter.
    pub wheel: Length,
    /// The side of its table, which is taken as square with the blade in its middle.
    #[serde(default = "usual_table")]
    pub table: Length,
    /// The blade's surface speed, feet per minute.
    pub speed_fpm: u32,
    /// The blades on the wall.
    pub blades: Vec<Blade>,
}

/// A bandsaw blade.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS)]
pub struct Blade {
    /// Unique within the shop.
    pub id: BladeId,
    /// From the tips of the teeth to the back.
    pub width: Length,
    /// The width of the cut that it leaves.
    pub kerf: Length,
    /// How thick its band is, without the set of the teeth; none where nobody
    /// has measured it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[ts(optional)]
    pub thickness: Option<Length>,
    /// How long the band is, once round both wheels.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[ts(optional)]
    pub loop_length: Option<Length>,
    /// Teeth in an inch.
    pub teeth_per_inch: f64,
}

/// A usual table of a saw with wheels of 14 in (common practice, no source).
const fn usual_table() -> Length {
    Length::inches(16.0)
}

impl Bandsaw {
    /// How thick a blade's band is: as measured, or a thousandth of the wheel,
    /// which is the most that bends round it for long (rule of thumb, from
    /// memory), but no more than the kerf with the least usual set (a hundredth
    /// of an inch, from memory).
    pub fn band(&self, blade: &Blade) -> Length {
        let usual = (self.wheel / 1000.0).min(blade.kerf - Length::inches(0.01));
        blade.thickness.unwrap_or(usual).max(Length::ZERO)
    }
}

/// Machines for straight and flat work.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS)]
pub struct Machines {
    /// The widest work for the jointer.
    pub jointer_width: Length,
    /// The widest work for the planer.
    pub planer_width: Length,
    /// The shortest work that jointer and planer may be fed.
    pub shortest_feed: Length,
    /// The narrowest work that they may be fed.
    #[serde(default = "usual_narrowest_feed")]
    pub narrowest_feed: Length,
    /// The thinnest work that they may be fed.
    #[serde(default = "usual_thinnest_feed")]
    pub thinnest_feed: Length,
    /// The shortest work that is ripped against the fence of the table saw.
    #[serde(default = "usual_shortest_rip")]
    pub shortest_rip: Length,
    /// The narrowest strip that is ripped between its blade and its fence.
    #[serde(default = "usual_narrowest_rip")]
    pub narrowest_rip: Length,
    /// The shortest work that is crosscut on its sled.
    #[serde(default = "usual_shortest_crosscut")]
    pub shortest_crosscut: Length,
    /// The widest work that the router on its sled reaches over; none where
    /// the shop has no such sled.
    #[serde(default = "usual_sled")]
    pub sled_width: Option<Length>,
    /// The kerf of the saw that rips and crosscuts.
    pub straight_kerf: Length,
    /// Spindle sizes of the drill press, widest bit.
    pub widest_bit: Length,
}

/// What machine manuals say of the jointer; usual for the planer as well
/// (common practice, no source).
const fn usual_narrowest_feed() -> Length {
    Length::inches(0.75)
}

/// What machine manuals say of the jointer; usual for the planer as well
/// (common practice, no source).
const fn usual_thinnest_feed() -> Length {
    Length::inches(0.25)
}

/// Shorter work turns between blade and fence (common practice, no source).
const fn usual_shortest_rip() -> Length {
    Length::inches(12.0)
}

/// A narrower strip leaves no room for a push stick (common practice, no source).
const fn usual_narrowest_rip() -> Length {
    Length::inches(0.5)
}

/// Shorter work brings the hands to the blade (common practice, no source).
const fn usual_shortest_crosscut() -> Length {
    Length::inches(6.0)
}

/// A usual router sled of a small shop (common practice, no source).
const fn usual_sled() -> Option<Length> {
    Some(Length::inches(24.0))
}

/// Clamps of one kind.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS)]
pub struct Clamp {
    /// What they are called: `pipe clamp`.
    pub name: String,
    /// The widest work that they hold.
    pub reach: Length,
    /// How hard one presses.
    pub force: Force,
    /// How many there are.
    pub count: u32,
}

/// Somebody who works here.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS)]
pub struct Person {
    /// Unique within the shop.
    pub id: PersonId,
    /// The name.
    pub name: String,
    /// The hours from Monday to Sunday; `None` on a day off.
    pub week: [Option<WorkingDay>; 7],
}

/// The hours of one day.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct WorkingDay {
    /// When work begins.
    #[ts(type = "string")]
    pub from: Time,
    /// When it ends.
    #[ts(type = "string")]
    pub to: Time,
}

/// What sands the faces.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize, TS)]
#[serde(rename_all = "snake_case")]
pub enum SandingTool {
    /// A random-orbit sander.
    #[default]
    Orbital,
    /// A block and elbow grease.
    Block,
}

/// What things cost.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, TS)]
pub struct Prices {
    /// One hour of hands.
    pub hour: Money,
    /// A litre of finish.
    pub finish_litre: Money,
    /// A litre of glue.
    pub glue_litre: Money,
    /// One sanding sheet or disc.
    pub abrasive: Money,
    /// One screw or plug.
    pub screw: Money,
    /// Added to the cost of making, as percent.
    pub margin_percent: f64,
}

/// Wood that is left on for the machines to take.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, TS)]
pub struct Allowances {
    /// Kept clear of the outline's edge, and of zones that have no way of their own.
    pub edge: Length,
    /// Taken from each face in flattening and planing.
    pub planing: Length,
    /// Taken from each face in sanding.
    pub sanding: Length,
    /// Added to a strip's width for jointing.
    pub joint: Length,
    /// Added to each end of a strip for trimming.
    pub trim: Length,
    /// Nothing smaller than this square is kept as an offcut.
    pub keep_offcut: Length,
}

impl ShopKit {
    /// A small shop to start from, with the trade's usual machines; every
    /// value is the maker's to change (common practice, no source).
    pub fn starting() -> ShopKit {
        let hours = WorkingDay { from: Time::constant(9, 0, 0, 0), to: Time::constant(17, 0, 0, 0) };
        let weekday = Some(hours);
        ShopKit {
            name: "My shop".to_owned(),
            units: Units::INCHES,
            paper: Paper::Letter,
            currency: "$".to_owned(),
            bandsaw: Bandsaw {
                throat: Length::inches(13.5),
                height: Length::inches(6.0),
                wheel: Length::inches(14.0),
                table: usual_table(),
                speed_fpm: 3000,
                blades: vec![
                    Blade::starting(1, 0.125, 0.036, 14.0),
                    Blade::starting(2, 0.25, 0.042, 6.0),
                    Blade::starting(3, 0.375, 0.045, 4.0),
                    Blade::starting(4, 0.75, 0.05, 3.0),
                ],
            },
            machines: Machines {
                jointer_width: Length::inches(8.0),
                planer_width: Length::inches(12.5),
                shortest_feed: Length::inches(12.0),
                narrowest_feed: usual_narrowest_feed(),
                thinnest_feed: usual_thinnest_feed(),
                shortest_rip: usual_shortest_rip(),
                narrowest_rip: usual_narrowest_rip(),
                shortest_crosscut: usual_shortest_crosscut(),
                sled_width: usual_sled(),
                straight_kerf: Length::inches(0.125),
                widest_bit: Length::inches(2.125),
            },
            clamps: vec![Clamp {
                name: "pipe clamp".to_owned(),
                reach: Length::inches(24.0),
                force: Force::pounds(1000.0),
                count: 8,
            }],
            caul: None,
            people: vec![Person {
                id: PersonId(1),
                name: "Me".to_owned(),
                week: [weekday, weekday, weekday, weekday, weekday, None, None],
            }],
            closed: Vec::new(),
            air: Climate { temperature: Temperature::celsius(20.0), humidity: Moisture::percent(50.0) },
            sanding: SandingTool::Orbital,
            prices: Prices {
                hour: Money::units(35.0),
                finish_litre: Money::units(45.0),
                glue_litre: Money::units(18.0),
                abrasive: Money::units(0.8),
                screw: Money::units(0.15),
                margin_percent: 20.0,
            },
            allowances: Allowances {
                edge: Length::mm(4.0),
                planing: Length::mm(1.5),
                sanding: Length::mm(0.25),
                joint: Length::mm(3.0),
                trim: Length::mm(15.0),
                keep_offcut: Length::mm(80.0),
            },
            clear_of: BTreeMap::new(),
            glue: GlueKey::from("pva_water_resistant"),
            own: OwnRows::default(),
        }
    }

    /// The way that parts keep from a zone of a kind.
    pub fn clear_of(&self, kind: ZoneKind) -> Length {
        self.clear_of.get(&kind).copied().unwrap_or(self.allowances.edge)
    }
}

impl Blade {
    fn starting(id: u32, width: f64, kerf: f64, teeth_per_inch: f64) -> Blade {
        let (width, kerf) = (Length::inches(width), Length::inches(kerf));
        Blade { id: BladeId(id), width, kerf, thickness: None, loop_length: None, teeth_per_inch }
    }
}
