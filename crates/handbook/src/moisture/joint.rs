//! What glued strips do to each other when they move by different shares.
//!
//! Strips glued edge to edge, grain alongside grain, are free in width: their
//! movements add up, and nothing holds them back. Along the grain wood moves by
//! a tenth of a percent from green to dry, which no joint feels. In thickness
//! the two have to meet at the joint, and only there: a thickness away each is
//! as thick as it wants to be. Where the grain of one crosses the other, the
//! one that lies along its grain holds the other back in full.

use std::f64::consts::PI;

use measure::Stress;

/// The stress in wood that is kept from moving by this share of its size: E ε
/// (Hooke). Poisson's ratios would add less than 3 %, as wood is ten times
/// stiffer along the grain. Good for quick changes: wood creeps, and over a
/// season gives way to about half of it (estimate).
pub fn held_back(stiffness: Stress, strain: f64) -> Stress {
    stiffness * strain.abs()
}

/// The stress where two strips of a glued panel meet, close below its face.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct JointStress {
    /// Along the joint from face to face: what the glue bears.
    pub shear: Stress,
    /// The greatest tension across the grain of the wood beside it.
    pub tension: Stress,
}

/// The same for two woods of these stiffnesses in thickness, one of which moves
/// by `apart` more than the other: from zero at mid-thickness to its greatest
/// at the faces.
///
/// Held back in full, the stress would be p = 2 E₁E₂/(E₁ + E₂) ε. At the joint
/// each strip gives way by half: one is drawn by p/2 from face to face, the
/// other pressed by as much; by symmetry nothing pulls square to the joint; and
/// the edge of the step shears it by p/π (uniform load on half of a face,
/// Carothers' solution of elasticity). The two together make the tension
/// p (1/4 + √(1/16 + 1/π²)). Exact for woods of one stiffness in every direction; a
/// finite-element model of real ones (`checks/joint_fem.py`) agrees within 8 %,
/// and within 25 % where one is three times as stiff as the other.
pub fn joint_stress(one: Stress, other: Stress, apart: f64) -> JointStress {
    let (a, b) = (one.to_mpa(), other.to_mpa());
    if a <= 0.0 || b <= 0.0 {
        return JointStress { shear: Stress::ZERO, tension: Stress::ZERO };
    }
    let full = held_back(Stress::mpa(2.0 / (1.0 / a + 1.0 / b)), apart);
    let tension = full * (0.25 + (0.25_f64.powi(2) + PI.powi(-2)).sqrt());
    JointStress { shear: full / PI, tension }
}
