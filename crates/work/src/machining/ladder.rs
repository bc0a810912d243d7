//! A size from rough to finished, step by step, with what each step takes.

use measure::{Figure, Length, Units};

/// A size from rough to finished.
pub(super) struct Ladder {
    name: &'static str,
    say: fn(Units, Length) -> String,
    first: (String, Length),
    steps: Vec<Step>,
}

struct Step {
    when: String,
    size: Length,
    why: &'static str,
}

impl Ladder {
    /// Sizes that a rule measures well enough.
    pub(super) fn new(name: &'static str, when: impl Into<String>, size: Length) -> Ladder {
        Ladder { name, say: Units::length, first: (when.into(), size), steps: Vec::new() }
    }

    /// Sizes for the caliper.
    pub(super) fn fine(name: &'static str, when: impl Into<String>, size: Length) -> Ladder {
        Ladder { say: Units::fine_length, ..Ladder::new(name, when, size) }
    }

    /// The size after the next step, and what that step takes wood for.
    pub(super) fn then(mut self, when: impl Into<String>, size: Length, why: &'static str) -> Ladder {
        self.steps.push(Step { when: when.into(), size, why });
        self
    }

    /// All sizes in order, each with what was taken.
    pub(super) fn figure(&self, units: Units) -> Figure {
        let say = |it| (self.say)(units, it);
        let sizes = [self.first.1].into_iter().chain(self.steps.iter().map(|it| it.size));
        let sizes: Vec<String> = sizes.map(say).collect();
        let figure = Figure::new(self.name, sizes.join(" → "))
            .by("each size is the one before less what its step takes", "the shop's own allowances")
            .from(self.first.0.as_str(), say(self.first.1));
        let mut before = self.first.1;
        self.steps.iter().fold(figure, |figure, it| {
            let taken = say(before - it.size);
            before = it.size;
            figure.from(it.when.as_str(), format!("{} ({taken} {})", say(it.size), it.why))
        })
    }
}

#[cfg(test)]
mod tests {
    use measure::Figure;

    use super::*;
    use crate::fixture::{brief, routed};

    fn values(figure: &Figure) -> Vec<&str> {
        figure.inputs.iter().map(|it| it.value.as_str()).collect()
    }

    #[test]
    fn every_step_says_its_size_and_what_it_takes() {
        let figure = Ladder::fine("thickness from rough to finished", "rough", Length::mm(27.0))
            .then("after the first face", Length::mm(25.5), "to make it bare and flat")
            .then("after planing", Length::mm(19.5), "to thickness")
            .figure(Units::MILLIMETRES);
        assert_eq!(figure.value, "27 mm → 25.5 mm → 19.5 mm");
        let expected = ["27 mm", "25.5 mm (1.5 mm to make it bare and flat)", "19.5 mm (6 mm to thickness)"];
        assert_eq!(values(&figure), expected);
    }

    /// By hand, in millimetres: the slab 27, 1.5 off the first face, planed to
    /// 19.5, 0.25 sanded from each face; the strips 26, 24.5, 21.5 before glue-up,
    /// 20 in the panel; the panel 21.5, 20.5, 19.5, 19.
    #[test]
    fn slab_strips_and_panel_go_down_to_what_is_wanted() {
        let mut brief = brief();
        brief.kit.units = Units::MILLIMETRES;
        let route = routed(&brief);
        let figures = route.operations.iter().flat_map(|it| &it.figures);
        let ladders: Vec<&Figure> = figures.filter(|it| it.name.starts_with("thickness from")).collect();
        let spans: Vec<&str> = ladders.iter().map(|it| it.value.as_str()).collect();
        let strips = "26 mm → 24.5 mm → 21.5 mm → 20 mm";
        let (slab, panel) = ("27 mm → 25.5 mm → 19.5 mm → 19 mm", "21.5 mm → 20.5 mm → 19.5 mm → 19 mm");
        assert_eq!(spans, [slab, strips, strips, panel]);
    }
}
