//! A care card for each pattern, wood and finish, to go with the boards.

use std::collections::BTreeSet;

use plan::Plan;
use serde::Serialize;
use stock::{Brief, FaceKey, Placement};

use crate::words;

/// One card; as many are cut out as there are boards, so that says how many.
#[derive(Serialize)]
pub(crate) struct Care {
    name: String,
    count: usize,
    wood: String,
    finish: String,
    lines: Vec<String>,
    food_from: String,
}

pub(crate) fn care(brief: &Brief, plan: &Plan) -> Vec<Care> {
    let mut out: Vec<Care> = Vec::new();
    for it in &plan.layout.placements {
        let Ok(pattern) = brief.pattern_of(it.part) else { continue };
        let woods = woods(brief, it);
        let wood = if woods.is_empty() { plan.care.wood.clone() } else { list(&woods) };
        match out.iter_mut().find(|card| card.name == pattern.name && card.wood == wood) {
            Some(card) => card.count += 1,
            None => out.push(Care {
                name: pattern.name.clone(),
                count: 1,
                wood,
                finish: plan.care.finish.clone(),
                lines: lines(brief, plan, &woods),
                food_from: words::day(plan.care.food_from),
            }),
        }
    }
    out
}

fn list(names: &BTreeSet<String>) -> String {
    names.iter().map(String::as_str).collect::<Vec<_>>().join(", ")
}

/// The woods that a part is made of.
fn woods(brief: &Brief, it: &Placement) -> BTreeSet<String> {
    let pieces = match it.face {
        FaceKey::Piece(piece) => vec![piece],
        FaceKey::Panel(panel) => {
            brief.panel(panel).map(|it| it.strips().map(|(piece, _)| piece).collect()).unwrap_or_default()
        }
    };
    let name = |piece| brief.facts().wood(&brief.piece(piece).ok()?.species).ok().map(|it| it.name.clone());
    pieces.into_iter().filter_map(name).collect()
}

/// The plan's lines without those on woods that are not in this board.
fn lines(brief: &Brief, plan: &Plan, woods: &BTreeSet<String>) -> Vec<String> {
    let all: BTreeSet<String> = plan.layout.placements.iter().flat_map(|it| self::woods(brief, it)).collect();
    let of_another = |line: &&String| {
        let subject = line.split_once(": ").map(|(subject, _)| subject.to_lowercase());
        all.difference(woods).any(|name| subject.as_deref() == Some(name.to_lowercase().as_str()))
    };
    // The day has a line of its own on the card.
    let food_from = format!("No food on it before {}", words::day(plan.care.food_from));
    plan.care.lines.iter().filter(|it| !of_another(it) && **it != food_from).cloned().collect()
}
