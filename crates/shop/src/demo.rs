//! The demo: a shop of our own invention, its wood, and one whole job.

use handbook::{FinishKey, SpeciesKey};
use jiff::ToSpan;
use jiff::civil::{Date, Time};
use measure::{Angle, Force, Length, Moisture, Money, Problem};
use outline::{Family, Outline, Point, Ring, Segment};
use stock::{
    Candidate, Feature, FeatureId, FeatureKind, Form, JobId, Panel, PanelId, Pattern, PatternId, Person,
    PersonId, Piece, PieceId, Price, Reading, ShopKit, Source, StripRun, Want, WantId, WorkingDay, Zone,
    ZoneId,
};

use crate::body::body;
use crate::bring_in::Progress;
use crate::view::{NewJob, NewPattern, NewPiece, PhotoAsk, SheetsAt, TraceAsk};
use crate::{Shop, Trouble, clock};

/// The demo shop's name, by which it is known again.
const NAME: &str = "Alder Lane boards";
/// The job's day lies so many days ahead.
const DAYS_AHEAD: i64 = 35;

const WALNUT_SLAB: &[u8] = include_bytes!("../../../assets/demo/walnut-slab.jpg");
const CHERRY_OFFCUT: &[u8] = include_bytes!("../../../assets/demo/cherry-offcut.jpg");
const LEAF: &[u8] = include_bytes!("../../../assets/demo/leaf.jpg");
/// The zones as a maker would draw them on the rectified pictures.
const WALNUT_ZONES: &str = include_str!("../../../assets/demo/walnut-slab.zones.json");
const CHERRY_ZONES: &str = include_str!("../../../assets/demo/cherry-offcut.zones.json");

/// The numbers that the demo's things have got.
struct Wood {
    slab: PieceId,
    offcut: PieceId,
    maple: PieceId,
    walnut: PieceId,
}

struct Patterns {
    leaf: PatternId,
    handled: PatternId,
    rest: PatternId,
    block: PatternId,
}

impl Shop {
    /// Whether this is the demo's shop.
    ///
    /// # Errors
    /// The folder cannot be read.
    pub fn is_demo(&self) -> Result<bool, Trouble> {
        Ok(self.kit()?.name == NAME)
    }

    /// Fills an empty shop with the demo: wood from photographs and by measure,
    /// patterns, and a job that is planned to its end.
    ///
    /// # Errors
    /// The shop is not empty, or its folder cannot be written.
    pub fn load_demo(&self, progress: Progress<'_>) -> Result<JobId, Trouble> {
        let view = self.view()?;
        if !(view.pieces.is_empty() && view.patterns.is_empty() && view.jobs.is_empty()) {
            let problem =
                Problem::new("the demo needs an empty shop, and this one has wood, patterns or jobs");
            return Err(Trouble::Conflict(problem.hint("open another folder with --shop")));
        }
        self.put_kit(&kit(), None)?;
        let today = clock::today();
        let wood = self.demo_wood(today, progress)?;
        let patterns = self.demo_patterns(progress)?;
        let job = self.demo_job(today, &wood, &patterns)?;
        self.plan_job(job, &|label, share, _| progress(label, 0.6 + 0.4 * share), &|| false)?;
        Ok(job)
    }

    fn demo_wood(&self, today: Date, progress: Progress<'_>) -> Result<Wood, Trouble> {
        let slab = PhotoAsk {
            name: "Walnut slab from the yard".to_owned(),
            species: SpeciesKey::from("black_walnut"),
            form: Form::Slab,
            thickness: Length::mm(40.0),
            sheets: SheetsAt::OnBench,
            check_line: None,
            known: Vec::new(),
        };
        let told = |label: &str, share: f64| progress(&format!("walnut slab: {label}"), 0.25 * share);
        let (slab, _) = self.add_piece_from_photo(slab, WALNUT_SLAB, &told, &|| false)?;
        let slab =
            self.demo_details(slab, zones(WALNUT_ZONES)?, 8.5, Price::Whole(Money::units(140.0)), today)?;

        let offcut = PhotoAsk {
            name: "Cherry offcut".to_owned(),
            species: SpeciesKey::from("black_cherry"),
            form: Form::Offcut,
            thickness: Length::mm(24.0),
            sheets: SheetsAt::OnTop,
            check_line: None,
            known: Vec::new(),
        };
        let told = |label: &str, share: f64| progress(&format!("cherry offcut: {label}"), 0.25 + 0.2 * share);
        let (offcut, _) = self.add_piece_from_photo(offcut, CHERRY_OFFCUT, &told, &|| false)?;
        let offcut =
            self.demo_details(offcut, zones(CHERRY_ZONES)?, 7.5, Price::BoardFoot(Money::units(9.0)), today)?;

        let maple = self.add_piece(plank("Maple plank", "hard_maple", 1200.0, 190.0, 42.0))?;
        let maple = self.demo_details(maple, Vec::new(), 7.5, Price::BoardFoot(Money::units(8.0)), today)?;
        let walnut = self.add_piece(plank("Walnut strip stock", "black_walnut", 900.0, 110.0, 42.0))?;
        let walnut =
            self.demo_details(walnut, Vec::new(), 7.8, Price::BoardFoot(Money::units(13.0)), today)?;
        Ok(Wood { slab, offcut, maple, walnut })
    }

    fn demo_details(
        &self,
        mut piece: Piece,
        zones: Vec<Zone>,
        moisture: f64,
        price: Price,
        today: Date,
    ) -> Result<PieceId, Trouble> {
        // What the maker has drawn needs no answer any more.
        let drawn = |it: &Candidate| zones.iter().any(|zone| meet(&zone.area, &it.area));
        piece.face.candidates.retain(|it| !drawn(it));
        let first = piece.face.next_id().0;
        piece.face.zones = zones;
        for (id, zone) in (first..).zip(&mut piece.face.zones) {
            zone.id = ZoneId(id);
        }
        piece.moisture = Some(Reading { moisture: Moisture::percent(moisture), on: today });
        piece.price = Some(price);
        piece.place = "back wall, second shelf".to_owned();
        Ok(self.put_piece(piece, None)?.id)
    }

    fn demo_patterns(&self, progress: Progress<'_>) -> Result<Patterns, Trouble> {
        let ask = TraceAsk { name: "Leaf board".to_owned(), length: Some(Length::mm(330.0)) };
        let told = |label: &str, share: f64| progress(&format!("leaf: {label}"), 0.45 + 0.15 * share);
        let (leaf, _) = self.add_pattern_from_photo(ask, LEAF, &told, &|| false)?;
        let features = leaf_features(&leaf.outline)?;
        let leaf = self.demo_features(leaf, features)?;

        let handled = Family::Handled {
            length: Length::mm(420.0),
            width: Length::mm(150.0),
            corner: Length::mm(30.0),
            handle_length: Length::mm(120.0),
            handle_width: Length::mm(36.0),
            neck: Length::mm(18.0),
        };
        let handled = self.add_pattern(NewPattern { name: "Bread board".to_owned(), family: handled })?;
        let handled = self.demo_features(handled, handled_features()?)?;

        let rest = Family::Round { diameter: Length::mm(190.0) };
        let rest = self.add_pattern(NewPattern { name: "Spoon rest".to_owned(), family: rest })?;
        let rest = self.demo_features(rest, rest_features()?)?;

        let block = Family::Rectangle {
            length: Length::mm(400.0),
            width: Length::mm(270.0),
            corner: Length::mm(20.0),
        };
        let block = self.add_pattern(NewPattern { name: "Kitchen board".to_owned(), family: block })?;
        let block = self.demo_features(block, block_features()?)?;
        Ok(Patterns { leaf, handled, rest, block })
    }

    fn demo_features(&self, mut pattern: Pattern, kinds: Vec<FeatureKind>) -> Result<PatternId, Trouble> {
        pattern.features = (1..).zip(kinds).map(|(id, kind)| Feature { id: FeatureId(id), kind }).collect();
        self.put_pattern(&pattern, None)?;
        Ok(pattern.id)
    }

    fn demo_job(&self, today: Date, wood: &Wood, patterns: &Patterns) -> Result<JobId, Trouble> {
        let due = today.checked_add(DAYS_AHEAD.days()).unwrap_or(today);
        let mut job = self.add_job(NewJob { name: "Harvest supper".to_owned(), due })?;
        let run = |piece, width, count| StripRun { piece, width: Length::mm(width), count };
        job.panels = vec![Panel {
            id: PanelId(1),
            name: "Kitchen panel".to_owned(),
            length: Length::mm(430.0),
            thickness: Length::mm(34.0),
            runs: vec![
                run(wood.maple, 40.0, 3),
                run(wood.walnut, 18.0, 1),
                run(wood.maple, 40.0, 1),
                run(wood.walnut, 18.0, 1),
                run(wood.maple, 40.0, 3),
            ],
        }];
        let want = |id, pattern, count, thickness, source, worth| Want {
            source,
            worth,
            ..Want::new(WantId(id), pattern, count, Length::mm(thickness))
        };
        job.wants = vec![
            want(1, patterns.leaf, 1, 28.0, Source::Pieces, 5),
            want(2, patterns.handled, 2, 19.0, Source::Pieces, 3),
            want(3, patterns.rest, 1, 24.0, Source::Pieces, 2),
            want(4, patterns.block, 1, 32.0, Source::Panel(PanelId(1)), 4),
        ];
        job.pieces = vec![wood.slab, wood.offcut];
        job.finish = FinishKey::from("varnish_then_wax");
        self.put_job(&job, None)?;
        Ok(job.id)
    }
}

fn meet(a: &Ring, b: &Ring) -> bool {
    Outline::from(a.clone()).distance(&Outline::from(b.clone())) < Length::mm(3.0)
}

fn zones(drawn: &str) -> Result<Vec<Zone>, Problem> {
    serde_json::from_str(drawn).map_err(|it| Problem::new(format!("the demo's zones cannot be read: {it}")))
}

fn plank(name: &str, species: &str, length: f64, width: f64, thickness: f64) -> NewPiece {
    NewPiece {
        name: name.to_owned(),
        species: SpeciesKey::from(species),
        form: Form::Plank,
        length: Length::mm(length),
        width: Length::mm(width),
        thickness: Length::mm(thickness),
        price: None,
    }
}

/// Two people; the second comes in on three afternoons.
fn kit() -> ShopKit {
    let day =
        |from, to| Some(WorkingDay { from: Time::constant(from, 0, 0, 0), to: Time::constant(to, 0, 0, 0) });
    let (full, half) = (day(9, 16), day(13, 17));
    ShopKit {
        name: NAME.to_owned(),
        people: vec![
            Person {
                id: PersonId(1),
                name: "Marit".to_owned(),
                week: [full, full, full, full, full, None, None],
            },
            Person {
                id: PersonId(2),
                name: "Joss".to_owned(),
                week: [None, half, None, half, None, half, None],
            },
        ],
        ..ShopKit::starting()
    }
}

/// The leaf's stem runs out to its right end; food lies on the blade.
fn leaf_features(outline: &Outline) -> Result<Vec<FeatureKind>, Problem> {
    let bounds = outline.bounds();
    let (length, middle) = (bounds.width().to_mm(), bounds.centre().y);
    let axis = Segment {
        from: Point::new(length * 0.795, middle - 6.0),
        to: Point::new(length * 0.975, middle - 12.0),
    };
    Ok(vec![
        FeatureKind::Stem { axis, within: Angle::degrees(15.0), load: Force::newtons(60.0) },
        FeatureKind::FoodArea { area: body(outline, Length::mm(10.0))? },
    ])
}

fn handled_features() -> Result<Vec<FeatureKind>, Problem> {
    let axis = Segment { from: Point::new(300.0, 75.0), to: Point::new(410.0, 75.0) };
    let food = [[10.0, 10.0], [290.0, 10.0], [290.0, 140.0], [10.0, 140.0]];
    Ok(vec![
        FeatureKind::Stem { axis, within: Angle::degrees(20.0), load: Force::newtons(80.0) },
        FeatureKind::FoodArea { area: Ring::new(food.map(|[x, y]| Point::new(x, y)).to_vec())? },
        FeatureKind::HangingHole { at: Point::new(398.0, 75.0), diameter: Length::mm(10.0) },
    ])
}

fn rest_features() -> Result<Vec<FeatureKind>, Problem> {
    let middle = Point::new(95.0, 95.0);
    Ok(vec![
        FeatureKind::FoodArea { area: disc(middle, 72.0)? },
        FeatureKind::Hollow {
            area: disc(middle, 75.0)?,
            depth: Length::mm(11.0),
            wall: Angle::degrees(35.0),
        },
    ])
}

/// Three feet that run with the strips, and one laid across them by mistake: the
/// plan finds it and offers to turn it.
fn block_features() -> Result<Vec<FeatureKind>, Problem> {
    let foot = |x, y, degrees| FeatureKind::FootSeat {
        at: Point::new(x, y),
        along: Angle::degrees(degrees),
        length: Length::mm(110.0),
        width: Length::mm(22.0),
        height: Length::mm(18.0),
    };
    let food = [[15.0, 15.0], [385.0, 15.0], [385.0, 255.0], [15.0, 255.0]];
    Ok(vec![
        FeatureKind::FoodArea { area: Ring::new(food.map(|[x, y]| Point::new(x, y)).to_vec())? },
        foot(85.0, 45.0, 0.0),
        foot(85.0, 225.0, 0.0),
        foot(315.0, 45.0, 0.0),
        foot(315.0, 205.0, 90.0),
    ])
}

fn disc(middle: Point, radius: f64) -> Result<Ring, Problem> {
    let corner = |index: i32| {
        let angle = Angle::degrees(f64::from(index) * 5.0);
        Point::new(middle.x + radius * angle.cos(), middle.y + radius * angle.sin())
    };
    Ring::new((0..72).map(corner).collect())
}
