//! Where the photographer stands: the whole slab and its sheets in the picture,
//! ground all round, as large as fits.

use measure::{Angle, Length};

use crate::noise::Dice;
use crate::shot::{Shot, Subject};
use crate::{Camera, Pose};

/// How a photographer stands and holds the camera.
pub(super) struct Stand {
    tilt: Angle,
    azimuth: Angle,
    roll: Angle,
    /// Border of ground that is left all round, as a share of the picture's longer side.
    border: f64,
}

/// Nobody holds a telephone nearer or farther than this, in millimetres.
const DISTANCES: [f64; 2] = [420.0, 4000.0];
/// Halvings that find the distance to a fraction of a millimetre.
const HALVINGS: usize = 14;
/// Rounds that bring what is photographed to the middle.
const AIMS: usize = 4;

impl Stand {
    /// Along a picture on its side, across one that is upright.
    pub(super) fn thrown(upright: bool, dice: &mut Dice) -> Stand {
        let azimuth = if dice.chance(0.7) { -90.0 + dice.bell(30.0) } else { dice.between(-180.0, 180.0) };
        let quarter = if upright { [-90.0, 90.0][usize::from(dice.chance(0.5))] } else { 0.0 };
        Stand {
            tilt: Angle::degrees(dice.between(0.0, 30.0)),
            azimuth: Angle::degrees(azimuth),
            roll: Angle::degrees(quarter + dice.bell(2.0)),
            border: dice.between(0.02, 0.09),
        }
    }

    /// The shot's lens, placed.
    pub(super) fn frame(&self, shot: &Shot, dice: &mut Dice) -> Camera {
        let places = places(shot);
        let size = f64::from(shot.camera.width_px.max(shot.camera.height_px));
        let border = self.border * size;
        let [mut near, mut far] = DISTANCES;
        for _ in 0..HALVINGS {
            let middle = (near + far) / 2.0;
            let fits = all_seen(&self.aimed(&shot.camera, &places, middle, [0.0; 2]), &places, border);
            if fits { far = middle } else { near = middle }
        }
        let aside = [0, 1].map(|_| dice.between(-0.6, 0.6) * border);
        let moved = self.aimed(&shot.camera, &places, far, aside);
        let centred = || self.aimed(&shot.camera, &places, far, [0.0; 2]);
        if all_seen(&moved, &places, 0.35 * border) { moved } else { centred() }
    }

    /// From this distance, with all that is photographed in the middle, but for
    /// so many pixels.
    fn aimed(&self, lens: &Camera, places: &[[f64; 3]], distance: f64, aside: [f64; 2]) -> Camera {
        let mut target = [0.0; 3];
        let at = |target| Camera {
            pose: Pose::look_at(target, Length::mm(distance), self.tilt, self.azimuth, self.roll),
            ..*lens
        };
        for _ in 0..AIMS {
            let camera = at(target);
            let Some([low, high]) = extent(&camera, places) else { break };
            let middle = [f64::from(camera.width_px) / 2.0, f64::from(camera.height_px) / 2.0];
            let off = [0, 1].map(|it| (low[it] + high[it]) / 2.0 - middle[it] + aside[it]);
            let seen = [0, 1].map(|it| camera.principal_px[it] + off[it]);
            let Some([x, y]) = camera.on_level(seen, 0.0) else { break };
            target = [x, y, 0.0];
        }
        at(target)
    }
}

/// What has to be in the picture: the slab's edge, above and below, and the sheets' corners.
fn places(shot: &Shot) -> Vec<[f64; 3]> {
    let mut places = Vec::new();
    if let Subject::Slab(slab) = &shot.subject {
        let edge = slab.outline().corners().iter().step_by(12);
        places.extend(edge.flat_map(|it| [slab.on_top(*it), [it.x, it.y, 0.0]]));
    }
    places.extend(shot.printed().iter().flat_map(|it| it.corners()));
    places
}

/// The picture's part that shows the places; `None` if one is behind the camera.
fn extent(camera: &Camera, places: &[[f64; 3]]) -> Option<[[f64; 2]; 2]> {
    let mut extent = [[f64::MAX; 2], [f64::MIN; 2]];
    for place in places {
        let pixel = camera.project(*place)?;
        for axis in 0..2 {
            extent[0][axis] = extent[0][axis].min(pixel[axis]);
            extent[1][axis] = extent[1][axis].max(pixel[axis]);
        }
    }
    Some(extent)
}

fn all_seen(camera: &Camera, places: &[[f64; 3]], border: f64) -> bool {
    places.iter().all(|it| camera.project(*it).is_some_and(|it| camera.sees(it, border)))
}
