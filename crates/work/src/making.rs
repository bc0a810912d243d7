//! The route while it is being made: what was added, and what each workpiece
//! last went through.

use std::collections::BTreeMap;

use handbook::Species;
use measure::{Figure, Length, Problem, Units};
use outline::Point;
use stock::{
    Brief, FaceKey, Finding, Grade, Layout, PartKey, Pattern, PieceId, Placement, Spot, Want, ZoneKind,
};

use crate::cut_sheet::CutSheet;
use crate::{Operation, OperationId, Route, Workpiece};

/// The route while it is being made.
pub(crate) struct Making<'a> {
    /// What is wanted and what there is.
    pub(crate) brief: &'a Brief,
    /// Where each part lies.
    pub(crate) layout: &'a Layout,
    route: Route,
    // Invariant: names only operations of the route. More than one where a
    // workpiece is gathered from several, as strips are.
    last: BTreeMap<Workpiece, Vec<OperationId>>,
}

/// A part that lies on a face, with all that the rooms ask of it.
#[derive(Clone)]
pub(crate) struct Laid<'a> {
    /// Which part.
    pub(crate) key: PartKey,
    /// What it is called.
    pub(crate) name: String,
    /// Its shape.
    pub(crate) pattern: &'a Pattern,
    /// Who asked for it.
    pub(crate) want: &'a Want,
    /// Where it lies.
    pub(crate) placement: &'a Placement,
    /// The kinds of wood in its face, each once, in order of their first strip.
    pub(crate) woods: Vec<&'a Species>,
}

impl<'a> Making<'a> {
    pub(crate) fn new(brief: &'a Brief, layout: &'a Layout) -> Making<'a> {
        Making { brief, layout, route: Route::default(), last: BTreeMap::new() }
    }

    /// How this maker reads figures.
    pub(crate) fn units(&self) -> Units {
        self.brief.units()
    }

    /// Adds an operation after all that its inputs went through so far.
    pub(crate) fn add(&mut self, operation: Operation) -> OperationId {
        let before = operation.inputs.iter().filter_map(|it| self.last.get(it)).flatten().copied().collect();
        self.add_after(operation, before)
    }

    /// Adds an operation after these alone.
    pub(crate) fn add_after(&mut self, mut operation: Operation, before: Vec<OperationId>) -> OperationId {
        let id = OperationId(u32::try_from(self.route.operations.len()).map_or(u32::MAX, |it| it + 1));
        operation.id = id;
        operation.after = before;
        operation.after.sort_unstable();
        operation.after.dedup();
        for workpiece in &operation.outputs {
            let so_far = self.last.entry(*workpiece).or_default();
            if operation.inputs.contains(workpiece) {
                so_far.clear();
            }
            so_far.push(id);
        }
        self.route.operations.push(operation);
        id
    }

    /// Keeps how a face is sawn apart.
    pub(crate) fn cut_sheet(&mut self, sheet: Option<CutSheet>) {
        self.route.cut_sheets.extend(sheet);
    }

    /// How a face is sawn apart.
    pub(crate) fn cut_sheet_of(&self, face: FaceKey) -> Option<&CutSheet> {
        self.route.cut_sheets.iter().find(|it| it.plan.face == face)
    }

    /// Adds a finding.
    pub(crate) fn find(&mut self, finding: Finding) {
        self.route.findings.push(finding);
    }

    /// Says that something could not be worked out, and why.
    pub(crate) fn cannot(&mut self, spot: Spot, problem: &Problem) {
        self.find(Finding {
            grade: Grade::Stop,
            rule: "cannot be worked out".to_owned(),
            what: problem.message.clone(),
            spot,
            figure: Figure::new("known", "no").by("looked up in the job", "the job itself"),
            limit: "yes".to_owned(),
            why: "without it no operation can be planned here".to_owned(),
            mendings: problem.hint.iter().map(stock::Mending::by_hand).collect(),
        });
    }

    /// The operations in order and the findings, worst first.
    pub(crate) fn finished(mut self) -> Route {
        self.route.findings.sort_by_key(|it| it.grade);
        self.route
    }

    /// Every part that lies somewhere, by part; the others leave a finding.
    pub(crate) fn laid_parts(&mut self) -> Vec<Laid<'a>> {
        let mut laid = Vec::new();
        for placement in &self.layout.placements {
            match self.laid(placement) {
                Ok(it) => laid.push(it),
                Err(problem) => {
                    let at = placement.outline.bounds().centre();
                    let spot = Spot::Part { part: placement.part, face: placement.face, at };
                    self.cannot(spot, &problem);
                }
            }
        }
        laid.sort_by_key(|it| it.key);
        laid
    }

    fn laid(&self, placement: &'a Placement) -> Result<Laid<'a>, Problem> {
        let key = placement.part;
        let want = self.brief.want(key.want)?;
        let name = self.brief.part_name(key);
        in_reach(&format!("the thickness of {name}"), want.thickness)?;
        Ok(Laid {
            key,
            name,
            pattern: self.brief.pattern_of(key)?,
            want,
            placement,
            woods: self.woods(placement.face)?,
        })
    }

    /// The kinds of wood in a face, each once.
    ///
    /// # Errors
    /// The face or a species is not known, or the panel has no strips.
    pub(crate) fn woods(&self, face: FaceKey) -> Result<Vec<&'a Species>, Problem> {
        let pieces: Vec<PieceId> = match face {
            FaceKey::Piece(id) => vec![id],
            FaceKey::Panel(id) => {
                let panel = self.brief.panel(id)?;
                in_reach(&format!("the length of {}", panel.name), panel.length)?;
                in_reach(&format!("the width of {}", panel.name), panel.width())?;
                in_reach(&format!("the thickness of {}", panel.name), panel.thickness)?;
                panel.runs.iter().map(|run| run.piece).collect()
            }
        };
        let mut woods: Vec<&'a Species> = Vec::new();
        for id in pieces {
            let wood = self.brief.facts().wood(&self.brief.piece(id)?.species)?;
            if !woods.iter().any(|it| it.key == wood.key) {
                woods.push(wood);
            }
        }
        if woods.is_empty() {
            return Err(Problem::new(format!("{} has no strips", self.brief.face_name(face)))
                .hint("add a run of strips to the panel"));
        }
        Ok(woods)
    }

    /// Whether parts of this job may hold this kind of zone.
    pub(crate) fn may_hold(&self, kind: ZoneKind) -> bool {
        kind.is_sound() || self.brief.job.choices.allowed_zones.contains(&kind)
    }
}

impl Laid<'_> {
    /// Where a finding about it points.
    pub(crate) fn spot(&self, at: Point) -> Spot {
        Spot::Part { part: self.key, face: self.placement.face, at }
    }

    /// Where a finding points that is about the whole part.
    pub(crate) fn spot_within(&self) -> Spot {
        self.spot(self.placement.outline.outer().centroid())
    }

    /// The thickness before sanding.
    pub(crate) fn planed(&self, sanding: Length) -> Length {
        self.want.thickness + sanding * 2.0
    }

    /// The wood that holds and weighs the least.
    pub(crate) fn lightest(&self) -> Option<&Species> {
        let lighter = |a: &&Species, b: &&Species| a.gravity().value.total_cmp(&b.gravity().value);
        self.woods.iter().copied().min_by(lighter)
    }

    /// The words for its woods: `walnut and hard maple`.
    pub(crate) fn wood_words(&self) -> String {
        let names: Vec<&str> = self.woods.iter().map(|it| it.name.as_str()).collect();
        names.join(" and ")
    }

    /// The workpiece that it is sawn out of.
    pub(crate) fn blank(&self) -> Workpiece {
        match self.placement.face {
            FaceKey::Piece(id) => Workpiece::Piece(id),
            FaceKey::Panel(id) => Workpiece::Panel(id),
        }
    }

    /// The workpiece that it is.
    pub(crate) fn workpiece(&self) -> Workpiece {
        Workpiece::Part(self.key)
    }
}

/// Whether a length can be the size of something on the bench.
pub(crate) fn in_reach(what: &str, it: Length) -> Result<(), Problem> {
    if it > Length::ZERO && it <= Point::FARTHEST {
        return Ok(());
    }
    let most = Point::FARTHEST.to_mm();
    Err(Problem::new(format!("{what} is {} mm", it.to_mm()))
        .hint(format!("give a length above zero and up to {most} mm")))
}
