//! Facts of wood, finish, glue and fasteners, each with its source.
//!
//! Knows no shapes. Tables are data files beside the code, one source per row;
//! each is read once, and a test reads every one.

mod abrasive;
mod cautions;
mod cities;
mod facts;
mod finish;
mod glue;
mod key;
mod moisture;
mod own;
mod room;
mod rule;
mod screw;
mod species;
mod strength;

pub use abrasive::{
    Grit, Sander, Scale, Surface, all_grits, finest_step, hardness_source, sanding_source, sanding_time,
    sheets, slower_for, steps, steps_source, widest_step,
};
pub use cautions::{Caution, all_cautions, caution};
pub use cities::{City, all_cities, cities_source};
pub use facts::{Confidence, Fact, Known};
pub use finish::{
    CURES_AT, Coats, Finish, Layer, LayerKind, ORDER_SOURCE, OrderFault, OrderRule, Verdict, all_finishes,
    all_layers, may_go_over,
};
pub use glue::{Glue, all_glues};
pub use key::{CautionKey, FinishKey, GlueKey, LayerKey, SpeciesKey};
pub use moisture::{
    Cut, FIBRE_SATURATION, JointStress, Movement, cup, equilibrium_figure, equilibrium_moisture, free_cup,
    held_back, joint_stress, left_to_go, meter_corrected, movement, movement_at, one_faced_cup, percent,
    resting,
};
pub use own::OwnRows;
pub use room::{Room, all_rooms, room};
pub use rule::{LOOK_UP, Rule, all_rules};
pub use screw::{SAFE_PULL, Screw, all_screws, lead_source, screw, sideways_source, thread_source};
pub use species::{
    Bonding, FoodFit, Pores, Ratios, SheetLine, Species, Texture, Vessels, WoodKind, all_species,
};
pub use strength::{
    BENDING_ACROSS, BENDING_EXPONENT, SAFETY, STRENGTH_STOPS, allowable, at_moisture, hankinson, rupture_at,
    rupture_figure,
};
