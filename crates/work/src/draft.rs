//! How the rooms write an operation down, one line after the other.

use handbook::{CautionKey, caution};
use measure::{Figure, Minutes};

use crate::{Machine, Operation, OperationId, OperationKind, Setting, Step, Supply, Use, Workpiece};

impl Operation {
    /// Begins an operation; its id and what it comes after follow when it is
    /// added to the route.
    pub(crate) fn begin(kind: OperationKind, title: impl Into<String>) -> Operation {
        Operation {
            id: OperationId(0),
            kind,
            title: title.into(),
            inputs: Vec::new(),
            outputs: Vec::new(),
            after: Vec::new(),
            machine: None,
            clamps: 0,
            set_up: Vec::new(),
            steps: Vec::new(),
            hands: Minutes::ZERO,
            unbroken: false,
            wait: Minutes::ZERO,
            cautions: Vec::new(),
            uses: Vec::new(),
            figures: Vec::new(),
            marks: Vec::new(),
            cuts: Vec::new(),
            lines: Vec::new(),
            fixings: Vec::new(),
        }
    }

    /// What lies on the bench before and after.
    #[must_use]
    pub(crate) fn turning(mut self, inputs: Vec<Workpiece>, outputs: Vec<Workpiece>) -> Operation {
        self.inputs = inputs;
        self.outputs = outputs;
        self
    }

    /// The same workpieces before and after.
    #[must_use]
    pub(crate) fn working_on(self, workpieces: Vec<Workpiece>) -> Operation {
        self.turning(workpieces.clone(), workpieces)
    }

    /// The machine that it takes.
    #[must_use]
    pub(crate) fn at(mut self, machine: Machine) -> Operation {
        self.machine = Some(machine);
        self
    }

    /// Time of hands; more than one call adds up.
    #[must_use]
    pub(crate) fn taking(mut self, hands: Minutes) -> Operation {
        self.hands += hands;
        self
    }

    /// Time of waiting afterwards.
    #[must_use]
    pub(crate) fn then_waiting(mut self, wait: Minutes) -> Operation {
        self.wait = wait;
        self
    }

    /// One step to check off.
    #[must_use]
    pub(crate) fn step(mut self, text: impl Into<String>) -> Operation {
        self.steps.push(Step { text: text.into(), timer: None });
        self
    }

    /// One step, and how long to wait before the next.
    #[must_use]
    pub(crate) fn timed_step(mut self, text: impl Into<String>, timer: Minutes) -> Operation {
        self.steps.push(Step { text: text.into(), timer: Some(timer) });
        self
    }

    /// One line of the set-up card.
    #[must_use]
    pub(crate) fn set(mut self, label: &str, value: impl Into<String>) -> Operation {
        self.set_up.push(Setting { label: label.to_owned(), value: value.into() });
        self
    }

    /// The cautions behind these keys, each once.
    #[must_use]
    pub(crate) fn minding<'a>(mut self, keys: impl IntoIterator<Item = &'a str>) -> Operation {
        for key in keys {
            let found = caution(&CautionKey::from(key));
            debug_assert!(found.is_ok(), "the handbook has no caution “{key}”");
            let Ok(row) = found else { continue };
            if !self.cautions.contains(&row.text) {
                self.cautions.push(row.text.clone());
            }
        }
        self
    }

    /// What it uses up.
    #[must_use]
    pub(crate) fn using(mut self, supply: Supply, amount: f64) -> Operation {
        self.uses.push(Use { supply, amount });
        self
    }

    /// A figure worked out for it.
    #[must_use]
    pub(crate) fn figure(mut self, figure: Figure) -> Operation {
        self.figures.push(figure);
        self
    }
}
