//! The cheapest cut through a net of cells: what is split off, and where.
//!
//! Maximal flow by augmenting paths along two search trees that are kept from
//! one path to the next (Boykov, Kolmogorov, "An experimental comparison of
//! min-cut/max-flow algorithms for energy minimization in vision", 2004).
//! Whole numbers, so that the cut is exact and the same on every machine.

use std::collections::VecDeque;

/// The eight ways out of a cell; the opposite way is `way ^ 1`.
pub(crate) const WAYS: [(isize, isize); 8] =
    [(1, 0), (-1, 0), (0, 1), (0, -1), (1, 1), (-1, -1), (-1, 1), (1, -1)];

/// No cell there.
pub(crate) const NOWHERE: u32 = u32::MAX;

/// Not reached, or reached from the spring or sink itself.
const FREE: u8 = 8;
const TERMINAL: u8 = 9;
const ORPHAN: u8 = 10;

/// Which tree a cell hangs on.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Tree {
    Neither,
    Spring,
    Sink,
}

/// Cells with pulls to either side and ties between neighbours.
pub(crate) struct Net {
    /// The neighbour on every way.
    beside: Vec<[u32; 8]>,
    /// What every tie still lets through.
    ties: Vec<[i32; 8]>,
    /// What the spring still gives, or below zero, what the sink still takes.
    pulls: Vec<i32>,
    tree: Vec<Tree>,
    /// The way to the parent in the tree.
    parent: Vec<u8>,
    /// How far the root is, as last looked at, and when that was.
    far: Vec<u32>,
    seen: Vec<u32>,
    now: u32,
    active: VecDeque<u32>,
    waiting: Vec<bool>,
    orphans: VecDeque<u32>,
    flow: i64,
}

impl Net {
    /// Takes each cell's neighbours, how strongly each is tied to them (the same
    /// from both sides, none where there is none), and how strongly each is
    /// pulled: above zero to the spring's side, below zero to the sink's.
    pub(crate) fn new(beside: Vec<[u32; 8]>, ties: Vec<[i32; 8]>, pulls: Vec<i32>) -> Net {
        let count = pulls.len();
        debug_assert!(beside.len() == count && ties.len() == count, "one of each for every cell");
        Net {
            beside,
            ties,
            pulls,
            tree: vec![Tree::Neither; count],
            parent: vec![FREE; count],
            far: vec![0; count],
            seen: vec![0; count],
            now: 0,
            active: VecDeque::new(),
            waiting: vec![false; count],
            orphans: VecDeque::new(),
            flow: 0,
        }
    }

    /// Which cells stay on the spring's side of the cheapest cut; those that may
    /// lie on either are on the sink's.
    pub(crate) fn cut(mut self) -> Vec<bool> {
        self.flood();
        self.tree.iter().map(|it| *it == Tree::Spring).collect()
    }

    fn flood(&mut self) {
        for at in 0..self.pulls.len() {
            if self.pulls[at] != 0 {
                self.tree[at] = if self.pulls[at] > 0 { Tree::Spring } else { Tree::Sink };
                self.parent[at] = TERMINAL;
                self.far[at] = 1;
                self.activate(at as u32);
            }
        }
        while let Some(&at) = self.active.front() {
            if self.tree[at as usize] != Tree::Neither
                && let Some((from, way)) = self.grow(at)
            {
                self.now += 1;
                self.augment(from, way);
                self.adopt();
                continue;
            }
            self.active.pop_front();
            self.waiting[at as usize] = false;
        }
    }

    fn activate(&mut self, at: u32) {
        if !std::mem::replace(&mut self.waiting[at as usize], true) {
            self.active.push_back(at);
        }
    }

    fn neighbour(&self, at: u32, way: u8) -> u32 {
        self.beside[at as usize][usize::from(way)]
    }

    /// What a tie lets through from a cell to its neighbour on a way, or against it.
    fn lets(&self, tree: Tree, at: u32, way: u8) -> i32 {
        match tree {
            Tree::Spring | Tree::Neither => self.ties[at as usize][usize::from(way)],
            Tree::Sink => self.ties[self.neighbour(at, way) as usize][usize::from(way ^ 1)],
        }
    }

    /// Lets the tree grow round a cell; a tie to the other tree, from the spring's
    /// side to the sink's, if it meets one.
    fn grow(&mut self, at: u32) -> Option<(u32, u8)> {
        let own = self.tree[at as usize];
        for way in 0..8 {
            let next = self.neighbour(at, way);
            if next == NOWHERE || self.lets(own, at, way) == 0 {
                continue;
            }
            let place = next as usize;
            if self.tree[place] == Tree::Neither {
                self.tree[place] = own;
                self.parent[place] = way ^ 1;
                self.far[place] = self.far[at as usize] + 1;
                self.seen[place] = self.seen[at as usize];
                self.activate(next);
            } else if self.tree[place] != own {
                return Some(if own == Tree::Spring { (at, way) } else { (next, way ^ 1) });
            } else if self.seen[place] <= self.seen[at as usize]
                && self.far[place] > self.far[at as usize] + 1
            {
                self.parent[place] = way ^ 1;
                self.far[place] = self.far[at as usize] + 1;
                self.seen[place] = self.seen[at as usize];
            }
        }
        None
    }

    /// Sends through the path over this tie what it lets through.
    fn augment(&mut self, from: u32, way: u8) {
        let to = self.neighbour(from, way);
        let through =
            self.ties[from as usize][usize::from(way)].min(self.narrowest(from)).min(self.narrowest(to));
        self.pass(from, way, through);
        self.send(from, through);
        self.send(to, through);
        self.flow += i64::from(through);
    }

    fn pass(&mut self, from: u32, way: u8, through: i32) {
        let to = self.neighbour(from, way);
        self.ties[from as usize][usize::from(way)] -= through;
        self.ties[to as usize][usize::from(way ^ 1)] += through;
    }

    /// The least on the way from a cell to its root.
    fn narrowest(&self, mut at: u32) -> i32 {
        let mut least = i32::MAX;
        loop {
            let way = self.parent[at as usize];
            if way == TERMINAL {
                return least.min(self.pulls[at as usize].abs());
            }
            let up = self.neighbour(at, way);
            // Spring's flow comes down from the parent, the sink's goes up to it.
            least = least.min(self.lets(self.tree[at as usize], up, way ^ 1));
            at = up;
        }
    }

    fn send(&mut self, mut at: u32, through: i32) {
        loop {
            let (way, own) = (self.parent[at as usize], self.tree[at as usize]);
            if way == TERMINAL {
                let pull = &mut self.pulls[at as usize];
                *pull -= pull.signum() * through;
                if *pull == 0 {
                    self.orphan(at);
                }
                return;
            }
            let up = self.neighbour(at, way);
            match own {
                Tree::Sink => self.pass(at, way, through),
                Tree::Spring | Tree::Neither => self.pass(up, way ^ 1, through),
            }
            if self.lets(own, up, way ^ 1) == 0 {
                self.orphan(at);
            }
            at = up;
        }
    }

    fn orphan(&mut self, at: u32) {
        self.parent[at as usize] = ORPHAN;
        self.orphans.push_front(at);
    }

    /// Finds every orphan a new parent, or sets it free.
    fn adopt(&mut self) {
        while let Some(at) = self.orphans.pop_front() {
            let own = self.tree[at as usize];
            let mut best = (u32::MAX, FREE);
            for way in 0..8 {
                let up = self.neighbour(at, way);
                if up == NOWHERE || self.tree[up as usize] != own || self.lets(own, up, way ^ 1) == 0 {
                    continue;
                }
                if let Some(far) = self.rooted(up)
                    && far < best.0
                {
                    best = (far, way);
                }
            }
            if best.1 == FREE {
                self.set_free(at, own);
            } else {
                self.parent[at as usize] = best.1;
                self.far[at as usize] = best.0 + 1;
                self.seen[at as usize] = self.now;
            }
        }
    }

    /// How far a cell is from its root, if it has one.
    fn rooted(&mut self, from: u32) -> Option<u32> {
        let (mut at, mut steps) = (from, 0);
        let far = loop {
            let place = at as usize;
            if self.seen[place] == self.now && self.parent[place] != ORPHAN {
                break steps + self.far[place];
            }
            match self.parent[place] {
                TERMINAL => {
                    self.far[place] = 1;
                    self.seen[place] = self.now;
                    break steps + 1;
                }
                ORPHAN | FREE => return None,
                way => {
                    at = self.neighbour(at, way);
                    steps += 1;
                }
            }
        };
        let (mut at, mut left) = (from, far);
        while self.seen[at as usize] != self.now {
            self.seen[at as usize] = self.now;
            self.far[at as usize] = left;
            at = self.neighbour(at, self.parent[at as usize]);
            left -= 1;
        }
        Some(far)
    }

    fn set_free(&mut self, at: u32, own: Tree) {
        for way in 0..8 {
            let next = self.neighbour(at, way);
            if next == NOWHERE || self.tree[next as usize] != own {
                continue;
            }
            if self.lets(own, next, way ^ 1) != 0 {
                self.activate(next);
            }
            if self.parent[next as usize] == way ^ 1 {
                self.parent[next as usize] = ORPHAN;
                self.orphans.push_back(next);
            }
        }
        self.tree[at as usize] = Tree::Neither;
        self.parent[at as usize] = FREE;
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A small grid with ties and pulls out of a congruential row of numbers.
    fn grid(width: usize, height: usize, seed: u32) -> (Vec<[u32; 8]>, Vec<[i32; 8]>, Vec<i32>) {
        let mut state = seed.wrapping_mul(2_654_435_761).wrapping_add(1);
        let mut next = |below: u32| {
            state = state.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
            ((state >> 16) % below) as i32
        };
        let mut beside = vec![[NOWHERE; 8]; width * height];
        let mut ties = vec![[0; 8]; width * height];
        for at in 0..width * height {
            for way in (0..8).step_by(2) {
                let (x, y) = ((at % width) as isize + WAYS[way].0, (at / width) as isize + WAYS[way].1);
                if x < 0 || y < 0 || x >= width as isize || y >= height as isize {
                    continue;
                }
                let other = y as usize * width + x as usize;
                let tie = next(10);
                (beside[at][way], beside[other][way ^ 1]) = (other as u32, at as u32);
                (ties[at][way], ties[other][way ^ 1]) = (tie, tie);
            }
        }
        let pulls = (0..width * height).map(|_| next(31) - 15).collect();
        (beside, ties, pulls)
    }

    fn cost(beside: &[[u32; 8]], ties: &[[i32; 8]], pulls: &[i32], spring: &dyn Fn(usize) -> bool) -> i32 {
        let own = |at: usize| if spring(at) { (-pulls[at]).max(0) } else { pulls[at].max(0) };
        let cut = |at: usize| {
            let out = (0..8).filter(|&way| beside[at][way] != NOWHERE);
            let out = out.filter(|&way| spring(at) && !spring(beside[at][way] as usize));
            out.map(|way| ties[at][way]).sum::<i32>()
        };
        (0..pulls.len()).map(|at| own(at) + cut(at)).sum()
    }

    #[test]
    fn no_cut_of_a_small_grid_is_cheaper() {
        for seed in 0..60 {
            let (beside, ties, pulls) = grid(4, 3, seed);
            let least = (0..1_u32 << 12)
                .map(|set| cost(&beside, &ties, &pulls, &|at| set >> at & 1 == 1))
                .min()
                .unwrap();
            let mut net = Net::new(beside.clone(), ties.clone(), pulls.clone());
            net.flood();
            let given: i32 = pulls.iter().map(|it| (*it).max(0)).sum();
            let cut = Net::new(beside.clone(), ties.clone(), pulls.clone()).cut();
            assert_eq!(cost(&beside, &ties, &pulls, &|at| cut[at]), least, "seed {seed}");
            assert_eq!(net.flow, i64::from(least), "seed {seed}: of {given} given");
        }
    }

    #[test]
    fn a_large_grid_is_cut_as_cheaply_as_its_flow_is_large() {
        for seed in 0..4 {
            let (beside, ties, pulls) = grid(120, 90, seed);
            let mut net = Net::new(beside.clone(), ties.clone(), pulls.clone());
            net.flood();
            let cut: Vec<bool> = net.tree.iter().map(|it| *it == Tree::Spring).collect();
            assert_eq!(net.flow, i64::from(cost(&beside, &ties, &pulls, &|at| cut[at])), "seed {seed}");
        }
    }
}
