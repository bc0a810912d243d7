//! The shapes to make.

use std::path::PathBuf;

use clap::Subcommand;
use measure::Length;
use outline::Family;
use shop::{NewPattern, Shop, SuitAsk, TraceAsk, Trouble};
use stock::{Pattern, PatternId};

use crate::say::say;
use crate::told;

/// What can be done with patterns.
#[derive(Subcommand)]
pub(crate) enum Patterns {
    /// List the patterns
    List,
    /// Draw a disc
    Round {
        /// What you call it
        name: String,
        /// Across
        #[arg(long)]
        diameter: String,
    },
    /// Draw a rectangle with rounded corners
    Rectangle {
        /// What you call it
        name: String,
        /// Along the grain
        #[arg(long)]
        length: String,
        /// Across the grain
        #[arg(long)]
        width: String,
        /// The corners' radius
        #[arg(long, default_value = "0")]
        corner: String,
    },
    /// Draw a board with a handle
    Handled {
        /// What you call it
        name: String,
        /// The whole length, handle and all
        #[arg(long)]
        length: String,
        /// The board's width
        #[arg(long)]
        width: String,
        /// The corners' radius
        #[arg(long)]
        corner: String,
        /// How long the handle is
        #[arg(long)]
        handle_length: String,
        /// How wide the handle is
        #[arg(long)]
        handle_width: String,
        /// The radius where the handle meets the board
        #[arg(long)]
        neck: String,
    },
    /// Draw a long oval
    Oval {
        /// What you call it
        name: String,
        /// Along the grain
        #[arg(long)]
        length: String,
        /// Across the grain
        #[arg(long)]
        width: String,
    },
    /// Bring in an SVG drawing
    Drawing {
        /// The drawing
        file: PathBuf,
        /// What you call it
        name: String,
        /// Its overall length; its own size if not said
        #[arg(long)]
        length: Option<String>,
    },
    /// Trace a silhouette from a photograph
    Trace {
        /// The photograph
        file: PathBuf,
        /// What you call it
        name: String,
        /// Its overall length; by a scale sheet in the photograph if not said
        #[arg(long)]
        length: Option<String>,
    },
    /// Find the wood on the rack that suits a pattern, the least first
    Suits {
        /// Its number
        id: u32,
        /// How thick it shall be when it is done
        #[arg(long)]
        thickness: String,
    },
    /// Take a pattern away
    Remove {
        /// Its number
        id: u32,
    },
}

impl Patterns {
    pub(crate) fn run(self, shop: &Shop) -> Result<(), Trouble> {
        let read = |text: &str| crate::length(shop, text);
        let family = |name, family| shop.add_pattern(NewPattern { name, family }).map(|it| added(&it));
        match self {
            Patterns::List => list(shop),
            Patterns::Round { name, diameter } => family(name, Family::Round { diameter: read(&diameter)? }),
            Patterns::Rectangle { name, length, width, corner } => family(
                name,
                Family::Rectangle { length: read(&length)?, width: read(&width)?, corner: read(&corner)? },
            ),
            Patterns::Handled { name, length, width, corner, handle_length, handle_width, neck } => family(
                name,
                Family::Handled {
                    length: read(&length)?,
                    width: read(&width)?,
                    corner: read(&corner)?,
                    handle_length: read(&handle_length)?,
                    handle_width: read(&handle_width)?,
                    neck: read(&neck)?,
                },
            ),
            Patterns::Oval { name, length, width } => {
                family(name, Family::LongOval { length: read(&length)?, width: read(&width)? })
            }
            Patterns::Drawing { file, name, length } => {
                let ask = TraceAsk { name, length: length.map(|text| read(&text)).transpose()? };
                let bytes = crate::file(&file)?;
                let file = file.file_name().map(|it| it.to_string_lossy().into_owned()).unwrap_or_default();
                added(&shop.add_pattern_from_drawing(ask, &file, &bytes)?);
                Ok(())
            }
            Patterns::Trace { file, name, length } => {
                let ask = TraceAsk { name, length: length.map(|text| read(&text)).transpose()? };
                let steps = told::Steps::default();
                let told = |label: &str, share: f64| steps.tell(label, share);
                let (pattern, problems) =
                    shop.add_pattern_from_photo(ask, &crate::file(&file)?, &told, &|| false)?;
                told::problems(&problems);
                added(&pattern);
                Ok(())
            }
            Patterns::Suits { id, thickness } => suits(shop, PatternId(id), read(&thickness)?),
            Patterns::Remove { id } => shop.remove_pattern(PatternId(id)),
        }
    }
}

fn added(it: &Pattern) {
    say!("pattern {} is ready: {}", it.id, it.name);
}

fn suits(shop: &Shop, pattern: PatternId, thickness: Length) -> Result<(), Trouble> {
    let found = shop.suits(pattern, SuitAsk { thickness })?;
    let view = shop.view()?;
    for it in &found.suits {
        let piece = view.pieces.iter().find(|piece| piece.id == it.piece);
        let name = piece.map_or("", |piece| piece.name.as_str());
        let count = match (it.counted, it.outlines.len()) {
            (false, _) => "at least one".to_owned(),
            (true, count) => format!("{count} of it"),
        };
        say!("{:>4}  {name:<28} {count}", it.piece.0);
    }
    if found.suits.is_empty() {
        say!("no piece on the rack suits it");
    }
    if found.more > 0 {
        say!("      and {} more, all of them larger", found.more);
    }
    say!("{} too thin, {} without room for it", found.too_thin, found.no_room);
    Ok(())
}

fn list(shop: &Shop) -> Result<(), Trouble> {
    let view = shop.view()?;
    for it in &view.patterns {
        let size = it.outline.bounds();
        let (length, width) = (view.kit.units.length(size.width()), view.kit.units.length(size.height()));
        say!("{:>4}  {:<28} {length} x {width}", it.id.0, it.name);
    }
    if view.patterns.is_empty() {
        say!("there is no pattern yet: draw one with `treen pattern round`, or bring in a drawing");
    }
    Ok(())
}
