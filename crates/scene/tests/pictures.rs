//! Pictures against what is known of them.

use image::GrayImage;
use measure::{Angle, Length};
use outline::{Place, Point};
use scene::{Bench, Camera, Exif, Look, Shot, Slab, SlabAsk, Subject, Truth, demos, photograph};

/// Where a curve of brightness passes half way may lie this far from the true
/// edge in the middle of all places, in pixels: the tone curve moves an edge
/// between dark and pale by 0.4 to 0.7 px.
const EDGE_MEDIAN_PX: f64 = 0.8;

fn ask() -> SlabAsk {
    SlabAsk {
        seed: 3,
        look: Look::Oak,
        length: Length::mm(700.0),
        width: Length::mm(260.0),
        thickness: Length::mm(35.0),
        live_edge: true,
        sapwood: Length::mm(15.0),
        knots: 4,
        checks: 3,
    }
}

fn gray(jpeg: &[u8]) -> GrayImage {
    image::load_from_memory(jpeg).unwrap().to_luma8()
}

/// Brightness between pixels, at a position counted from the picture's corner.
fn brightness(picture: &GrayImage, [x, y]: [f64; 2]) -> f64 {
    let (x, y) = (x - 0.5, y - 0.5);
    let (column, row) = (x.floor(), y.floor());
    let at =
        |right: f64, down: f64| f64::from(picture.get_pixel((column + right) as u32, (row + down) as u32)[0]);
    let (u, v) = (x - column, y - row);
    let upper = at(0.0, 0.0) * (1.0 - u) + at(1.0, 0.0) * u;
    let lower = at(0.0, 1.0) * (1.0 - u) + at(1.0, 1.0) * u;
    upper * (1.0 - v) + lower * v
}

/// How far out the edge is seen, in pixels, at each place of the ring where
/// inside and outside differ clearly.
fn seen_edges(picture: &GrayImage, truth: &Truth, ring: &outline::Ring, level: f64) -> Vec<f64> {
    let edges = ring.edges().step_by(3);
    let offs = edges.filter_map(|edge| {
        let middle = edge.from.toward(edge.to, 0.5);
        let out = edge.direction() - Angle::degrees(90.0);
        let seen = |it: Point| truth.camera.project([it.x, it.y, level]).unwrap();
        let (at, beyond) = (seen(middle), seen(Point::new(middle.x + out.cos(), middle.y + out.sin())));
        let long = (beyond[0] - at[0]).hypot(beyond[1] - at[1]);
        let way = [(beyond[0] - at[0]) / long, (beyond[1] - at[1]) / long];
        let along = |off: f64| brightness(picture, [at[0] + off * way[0], at[1] + off * way[1]]);
        let (inside, outside) = (along(-3.0), along(3.0));
        let half = (inside + outside) / 2.0;
        let crossing =
            (-30..30).map(|it| f64::from(it) * 0.1).find(|&it| (along(it) > half) == (outside > half));
        crossing.filter(|_| (inside - outside).abs() > 50.0)
    });
    let mut offs: Vec<f64> = offs.collect();
    offs.sort_by(f64::total_cmp);
    offs
}

#[test]
fn the_leaf_is_seen_where_its_outline_is_known() {
    let (jpeg, truth) = photograph(&demos::leaf(demos::SMALL_PX).unwrap()).unwrap();
    let ring = truth.leaf.clone().unwrap();
    let offs = seen_edges(&gray(&jpeg), &truth, &ring, 0.0);
    assert!(offs.len() > 100, "{} places", offs.len());
    let median = offs[offs.len() / 2];
    assert!(median.abs() < EDGE_MEDIAN_PX, "median {median}");
    let wide = offs[offs.len() * 95 / 100] - offs[offs.len() * 5 / 100];
    assert!(wide < 1.2, "from 5 % to 95 %: {wide} px");
}

#[test]
fn a_sawn_slab_is_seen_at_the_level_of_its_top() {
    let mut shot = demos::cherry_offcut(demos::SMALL_PX).unwrap();
    // Dark wood on pale paper, so that the edges are clear.
    let Subject::Slab(cherry) = &shot.subject else { panic!("a slab") };
    let dark = SlabAsk { look: Look::Walnut, sapwood: Length::ZERO, ..cherry.ask().clone() };
    shot.subject = Subject::Slab(Box::new(Slab::grow(&dark).unwrap()));
    shot.bench = Bench::Paper;
    let (jpeg, truth) = photograph(&shot).unwrap();
    let slab = truth.slab.clone().unwrap();
    let picture = gray(&jpeg);
    let median = |level: f64| {
        let offs = seen_edges(&picture, &truth, &slab.outline, level);
        offs.get(offs.len() / 2).copied().filter(|_| offs.len() > 40)
    };
    let at_top = median(slab.thickness_mm).expect("the edges are clear");
    assert!(at_top.abs() < EDGE_MEDIAN_PX, "{at_top}");
    // Seen on the bench's level instead, 24 mm lower, the same lines miss the edges.
    assert!(median(0.0).is_none_or(|it| it.abs() > 1.5));
}

#[test]
fn sizes_come_back_through_the_camera() {
    let shot = demos::walnut_slab(demos::SMALL_PX).unwrap();
    let Subject::Slab(slab) = &shot.subject else { panic!("a slab") };
    let corners = slab.outline().corners();
    let back = |level: f64| {
        let on_bench = corners.iter().map(|it| {
            let pixel = shot.camera.project([it.x, it.y, 40.0]).unwrap();
            let [x, y] = shot.camera.on_level(pixel, level).unwrap();
            Point::new(x, y)
        });
        outline::Bounds::around(on_bench).unwrap().width().to_mm()
    };
    assert!((back(40.0) - slab.length().to_mm()).abs() < 1e-3);
    // Taken for a thing on the bench, the slab comes out too long by thickness over
    // (height of the lens - thickness): similar triangles.
    let height = shot.camera.pose.centre_mm[2];
    let too_long = back(0.0) / slab.length().to_mm() - 1.0;
    assert!((too_long - 40.0 / (height - 40.0)).abs() < 2e-4, "{too_long}");
    assert!((slab.length().to_mm() - 1150.0).abs() < 15.0, "{}", slab.length().to_mm());
    assert!((slab.width().to_mm() - 330.0).abs() < 25.0, "{}", slab.width().to_mm());
}

#[test]
fn a_slab_keeps_its_marks_on_its_wood() {
    let slab = Slab::grow(&ask()).unwrap();
    assert_eq!((slab.knots().len(), slab.checks().len()), (4, 3));
    for knot in slab.knots() {
        assert!(knot.ring.corners().iter().all(|&it| slab.wood_line().contains(it)));
        assert!(knot.ring.contains(knot.centre));
    }
    for check in slab.checks() {
        let size = check.bounds();
        assert!(size.width().to_mm() > 0.05 * 700.0 && size.height().to_mm() < 60.0);
        let opens =
            check.corners().iter().map(|&it| slab.outline().distance(it).to_mm()).fold(f64::MAX, f64::min);
        assert!(opens < 1.0, "a check starts at an end, not {opens} mm away");
    }
    let bark = slab.outline().area().to_mm2() - slab.wood_line().area().to_mm2();
    assert!(bark > 2.0 * 700.0 * 4.0 && bark < 2.0 * 700.0 * 14.0, "{bark}");
    let clear: Vec<f64> =
        (-6..=6).map(|it| slab.fibre_at(Point::new(f64::from(it) * 50.0, 0.0)).to_degrees()).collect();
    assert!(clear.iter().all(|it| it.abs() < 60.0), "{clear:?}");
    let knot = &slab.knots()[0];
    let wide = knot.ring.bounds().height().to_mm();
    let beside = |up: f64, along: f64| {
        slab.fibre_at(Point::new(knot.centre.x + along * wide, knot.centre.y + up * wide))
    };
    // Fibres part before a knot and close behind it.
    let parting = (beside(0.5, -0.7) - beside(-0.5, -0.7)).to_degrees();
    let closing = (beside(0.5, 0.7) - beside(-0.5, 0.7)).to_degrees();
    assert!(parting > 8.0 && closing < -8.0, "{parting} {closing}");
}

#[test]
fn the_same_ask_gives_the_same_picture_to_the_byte() {
    let (one, truth) = photograph(&demos::walnut_slab(480).unwrap()).unwrap();
    let (other, _) = photograph(&demos::walnut_slab(480).unwrap()).unwrap();
    assert!(one == other);
    let written = serde_json::to_string(&truth).unwrap();
    assert_eq!(serde_json::from_str::<Truth>(&written).unwrap(), truth);
}

#[test]
fn only_tags_in_full_view_count_as_visible() {
    let visible = |shot: &Shot| {
        let (_, truth) = photograph(shot).unwrap();
        truth.sheets.iter().flat_map(|it| &it.tags).filter(|it| it.visible).count()
    };
    let mut shot = demos::walnut_slab(400).unwrap();
    assert_eq!(visible(&shot), 48);
    // One sheet pushed half under the slab: its middle lies below the far edge.
    shot.sheets[0].place = Place { at: Point::new(-430.0, 160.0), ..shot.sheets[0].place };
    let left = visible(&shot);
    assert!((28..44).contains(&left), "{left}");
    shot.sheets[0].place = Place { at: Point::new(-430.0, 0.0), ..shot.sheets[0].place };
    assert_eq!(visible(&shot), 24);
}

/// Read back by kamadak-exif, an independent reader.
#[test]
fn a_camera_s_notes_are_real_exif_and_turn_the_picture_upright() {
    let mut shot = demos::walnut_slab(400).unwrap();
    let upright = gray(&photograph(&shot).unwrap().0);
    shot.exif = Some(Exif { focal_35mm: 27, orientation: 6 });
    let (jpeg, _) = photograph(&shot).unwrap();
    let notes = exif::Reader::new().read_from_container(&mut std::io::Cursor::new(&jpeg)).unwrap();
    let value = |tag| notes.get_field(tag, exif::In::PRIMARY).and_then(|it| it.value.get_uint(0));
    assert_eq!(value(exif::Tag::FocalLengthIn35mmFilm), Some(27));
    assert_eq!(value(exif::Tag::Orientation), Some(6));
    assert_eq!(
        (value(exif::Tag::PixelXDimension), value(exif::Tag::PixelYDimension)),
        (Some(300), Some(400))
    );
    // Orientation 6: the viewer turns the stored picture a quarter clockwise.
    let turned = image::imageops::rotate90(&gray(&jpeg));
    assert_eq!(turned.dimensions(), upright.dimensions());
    let off = turned.pixels().zip(upright.pixels()).map(|(a, b)| u64::from(a[0].abs_diff(b[0]))).sum::<u64>();
    assert!((off as f64) < 4.0 * f64::from(400 * 300), "mean {}", off as f64 / 120_000.0);
    shot.exif = Some(Exif { focal_35mm: 27, orientation: 5 });
    assert!(photograph(&shot).unwrap_err().message.contains("orientation 5"));
}

#[test]
fn what_is_no_slab_is_refused() {
    let short = SlabAsk { length: Length::mm(40.0), ..ask() };
    assert!(Slab::grow(&short).unwrap_err().message.contains("40 by 260 by 35 mm"));
    let camera = Camera::new(320, 240, Length::mm(26.0));
    assert!(camera.project([0.0, 0.0, 2000.0]).is_none(), "above the camera");
}
