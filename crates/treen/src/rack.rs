//! The wood on hand.

use std::path::PathBuf;

use clap::{Args, Subcommand, ValueEnum};
use shop::{NewPiece, PhotoAsk, SheetsAt, Shop, Trouble};
use stock::{Form, Paper, PieceId};

use crate::say::say;
use crate::told;

/// What can be done at the rack.
#[derive(Subcommand)]
pub(crate) enum Rack {
    /// List the wood
    List,
    /// Bring in a piece by its measures
    Add {
        /// What you call it
        name: String,
        /// What it is of: black_walnut
        #[arg(long)]
        species: String,
        /// Along the grain
        #[arg(long)]
        length: String,
        /// Across the grain
        #[arg(long)]
        width: String,
        /// As it lies there
        #[arg(long)]
        thickness: String,
        /// How it came
        #[arg(long, default_value = "plank")]
        form: FormWord,
    },
    /// Bring in a piece by a photograph with scale sheets
    Photo {
        /// The photograph
        file: PathBuf,
        /// What you call it
        name: String,
        /// What it is of: black_walnut
        #[arg(long)]
        species: String,
        /// As it lies there
        #[arg(long)]
        thickness: String,
        /// How it came
        #[arg(long, default_value = "slab")]
        form: FormWord,
        /// Where the sheets lay
        #[arg(long, default_value = "on-top")]
        sheets: SheetsWord,
        /// The sheet's 200 mm line, as it came out of your printer
        #[arg(long)]
        check_line: Option<String>,
    },
    /// Tell what a piece could become, of the shop's patterns
    Uses {
        /// Its number
        id: u32,
    },
    /// Take a piece off the rack
    Remove {
        /// Its number
        id: u32,
    },
}

/// How the wood came.
#[derive(Clone, Copy, ValueEnum)]
pub(crate) enum FormWord {
    /// Natural edges
    Slab,
    /// Sawn square
    Plank,
    /// Left over
    Offcut,
}

/// Where the sheets lay.
#[derive(Clone, Copy, ValueEnum)]
pub(crate) enum SheetsWord {
    /// On its top face
    OnTop,
    /// On the bench beside it
    OnBench,
}

impl From<FormWord> for Form {
    fn from(it: FormWord) -> Form {
        match it {
            FormWord::Slab => Form::Slab,
            FormWord::Plank => Form::Plank,
            FormWord::Offcut => Form::Offcut,
        }
    }
}

impl From<SheetsWord> for SheetsAt {
    fn from(it: SheetsWord) -> SheetsAt {
        match it {
            SheetsWord::OnBench => SheetsAt::OnBench,
            SheetsWord::OnTop => SheetsAt::OnTop,
        }
    }
}

impl Rack {
    pub(crate) fn run(self, shop: &Shop) -> Result<(), Trouble> {
        match self {
            Rack::List => {
                told::rack(&shop.view()?);
                Ok(())
            }
            Rack::Add { name, species, length, width, thickness, form } => {
                let ask = NewPiece {
                    name,
                    species: species.as_str().into(),
                    form: form.into(),
                    length: crate::length(shop, &length)?,
                    width: crate::length(shop, &width)?,
                    thickness: crate::length(shop, &thickness)?,
                    price: None,
                };
                let piece = shop.add_piece(ask)?;
                say!("piece {} is on the rack: {}", piece.id, piece.name);
                Ok(())
            }
            Rack::Photo { file, name, species, thickness, form, sheets, check_line } => {
                let ask = PhotoAsk {
                    name,
                    species: species.as_str().into(),
                    form: form.into(),
                    thickness: crate::length(shop, &thickness)?,
                    sheets: sheets.into(),
                    check_line: check_line.map(|text| crate::length(shop, &text)).transpose()?,
                    known: Vec::new(),
                };
                let steps = told::Steps::default();
                let told = |label: &str, share: f64| steps.tell(label, share);
                let (piece, problems) =
                    shop.add_piece_from_photo(ask, &crate::file(&file)?, &told, &|| false)?;
                told::problems(&problems);
                say!("piece {} is on the rack: {}", piece.id, piece.name);
                Ok(())
            }
            Rack::Uses { id } => uses(shop, PieceId(id)),
            Rack::Remove { id } => shop.remove_piece(PieceId(id)),
        }
    }
}

/// Print the scale sheets to lay at both ends of the wood
#[derive(Args)]
pub(crate) struct Sheets {
    /// The PDF to write
    file: PathBuf,
    /// What the printer takes; the shop's own paper if not said
    #[arg(long)]
    paper: Option<PaperWord>,
    /// How many, each with a number of its own
    #[arg(long, default_value_t = 2)]
    count: u8,
}

/// Paper sizes.
#[derive(Clone, Copy, ValueEnum)]
pub(crate) enum PaperWord {
    /// 8 1/2 by 11 inches
    Letter,
    /// 210 by 297 mm
    A4,
}

impl Sheets {
    pub(crate) fn run(self, shop: &Shop) -> Result<(), Trouble> {
        let paper = match self.paper {
            Some(PaperWord::Letter) => Paper::Letter,
            Some(PaperWord::A4) => Paper::A4,
            None => shop.kit()?.paper,
        };
        crate::keep(&self.file, &shop.scale_sheets(paper, self.count)?)?;
        say!("wrote {}: print it at full size, then measure its 200 mm line", self.file.display());
        Ok(())
    }
}

fn uses(shop: &Shop, piece: PieceId) -> Result<(), Trouble> {
    let found = shop.uses(piece)?;
    let view = shop.view()?;
    say!("{} thick when done, it could become one of these:", view.kit.units.fine_length(found.thickness));
    for it in &found.uses {
        let pattern = view.patterns.iter().find(|pattern| pattern.id == it.pattern);
        let name = pattern.map_or("", |pattern| pattern.name.as_str());
        say!("{:>4} of {name:<28} {:.0} % of its face", it.outlines.len(), it.share * 100.0);
    }
    if found.uses.is_empty() {
        say!("none: no pattern finds room on it");
    }
    Ok(())
}
