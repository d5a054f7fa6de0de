//! Steady conduction in a plate of four-sided cells with air at its edges.
//!
//! Holds true: what flows in at some faces flows out at the others; no node is warmer or colder than the air.
//!
//! Does not: know hives; tell moisture, moving air or radiation apart from the resistance of a surface.
//!
//! Science: linear finite elements on triangles, which are exact where heat goes straight through layers. Start at
//! [`Plate`], then [`Plate::warmed`].

use super::dissection::Operator;

/// How a cell is split into two triangles, and which of them comes first.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Split {
    /// Where the triangles come out better; both must conduct alike.
    Best,
    /// From (line, row) to (line + 1, row + 1); first the triangle with (line + 1, row).
    Rising,
    /// From (line + 1, row) to (line, row + 1); first the triangle with (line, row).
    Falling,
}

/// A cell between two lines and two rows.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Cell {
    /// How it is split.
    pub split: Split,
    /// What its two triangles conduct, in W/(m·K).
    pub conducts_w_per_mk: [f64; 2],
}

/// A plate whose nodes stand in lines with equally many rows.
///
/// The node of a line and a row is at `line * rows + row`, the cell at `line * (rows - 1) + row`. Where the plate
/// closes to a ring there are as many rows of cells as lines, else one fewer.
#[derive(Debug, Clone, PartialEq)]
pub struct Plate {
    /// The nodes of a line.
    pub rows: usize,
    /// Whether the last line is joined to the first.
    pub is_ring: bool,
    /// Where the nodes are, in metres.
    pub nodes_m: Vec<(f64, f64)>,
    /// The cells.
    pub cells: Vec<Cell>,
}

/// A piece of the plate's edge that meets air.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Face {
    /// The nodes at its ends.
    pub ends: [usize; 2],
    /// The resistance of its surface, in m²·K/W.
    pub resistance_m2k_per_w: f64,
    /// The temperature of the air.
    pub air: f64,
}

/// The temperatures of a plate between airs.
#[derive(Debug, Clone, PartialEq)]
pub struct Warmed {
    /// Of each node.
    pub temperatures: Vec<f64>,
}

impl Plate {
    /// The lines of nodes.
    pub fn lines(&self) -> usize {
        self.nodes_m.len() / self.rows
    }

    /// The temperatures that the plate settles at.
    ///
    /// # What it gives
    /// The temperature of each node; `None` where no face meets air, or what conducts is so unlike that the
    /// equations cannot be told from ones without an answer.
    ///
    /// # Equation
    /// ∇·(λ∇T) = 0 within, λ ∂T/∂n = (air − T) / R at the faces, no flow through the other edges; the weak form on
    /// linear triangles, the resistance of a face shared between its two ends.
    ///
    /// # Holds for
    /// Steady warmth and conductivities that do not depend on it.
    ///
    /// # Source
    /// Fourier's law.
    ///
    /// # Checked against
    /// Layers by hand, the shell of a cylinder, the series of case 1 of ISO 10211 and its 28 points.
    pub fn warmed(&self, faces: &[Face]) -> Option<Warmed> {
        if faces.is_empty() {
            return None;
        }
        let mut operator = Operator::new(self.lines(), self.rows);
        for (idx, cell) in self.cells.iter().enumerate() {
            self.couple(&mut operator, self.corners(idx), cell);
        }
        let mut right = vec![0.0; self.nodes_m.len()];
        for face in faces {
            let each = self.half_conductance(face);
            for end in face.ends {
                operator.own[end] += each;
                right[end] += each * face.air;
            }
        }
        let temperatures = operator.solve(&right)?;
        Some(Warmed { temperatures })
    }

    /// What flows into the plate through a face, in W per metre of depth and kelvin or degree.
    pub fn inflow(&self, warmed: &Warmed, face: &Face) -> f64 {
        let each = self.half_conductance(face);
        face.ends
            .iter()
            .map(|&end| each * (face.air - warmed.temperatures[end]))
            .sum()
    }

    /// The triangles as their nodes, in order round.
    pub(super) fn triangles(&self) -> impl Iterator<Item = [usize; 3]> {
        self.cells.iter().enumerate().flat_map(|(idx, cell)| {
            let corners = self.corners(idx);
            let [a, b, c, d] = corners;
            if self.is_rising(cell, corners) {
                [[a, b, c], [a, c, d]]
            } else {
                [[a, b, d], [b, c, d]]
            }
        })
    }

    /// The corners of a cell, in order round: (line, row), (line + 1, row), (line + 1, row + 1), (line, row + 1).
    fn corners(&self, cell: usize) -> [usize; 4] {
        let (line, row) = (cell / (self.rows - 1), cell % (self.rows - 1));
        let next = if line + 1 == self.lines() { 0 } else { line + 1 };
        let (a, b) = (line * self.rows + row, next * self.rows + row);
        [a, b, b + 1, a + 1]
    }

    fn is_rising(&self, cell: &Cell, corners: [usize; 4]) -> bool {
        match cell.split {
            Split::Rising => true,
            Split::Falling => false,
            Split::Best => self.is_better_rising(corners),
        }
    }

    /// Whether the two corners that a rising split faces are together the smaller (Delaunay).
    fn is_better_rising(&self, [a, b, c, d]: [usize; 4]) -> bool {
        let facing_rising = self.cotangent(a, b, c) + self.cotangent(c, d, a);
        let facing_falling = self.cotangent(b, c, d) + self.cotangent(d, a, b);
        facing_rising > facing_falling
    }

    /// Couples the corners of a cell, each two by the angles that face them: λ/2 · cot.
    fn couple(&self, operator: &mut Operator, corners: [usize; 4], cell: &Cell) {
        let [a, b, c, d] = corners;
        let [first, second] = cell.conducts_w_per_mk.map(|conducts| conducts / 2.0);
        if self.is_rising(cell, corners) {
            operator.couple_over(a, b, first * self.cotangent(a, c, b));
            operator.couple_along(b, c, first * self.cotangent(b, a, c));
            operator.couple_over(d, c, second * self.cotangent(c, a, d));
            operator.couple_along(a, d, second * self.cotangent(d, c, a));
            let facing = first * self.cotangent(a, b, c) + second * self.cotangent(c, d, a);
            operator.couple_over_up(a, c, facing);
        } else {
            operator.couple_over(a, b, first * self.cotangent(a, d, b));
            operator.couple_along(b, c, second * self.cotangent(b, d, c));
            operator.couple_over(d, c, second * self.cotangent(c, b, d));
            operator.couple_along(a, d, first * self.cotangent(d, b, a));
            let facing = first * self.cotangent(b, a, d) + second * self.cotangent(d, c, b);
            operator.couple_over_down(d, b, facing);
        }
    }

    /// The cotangent of the angle at the middle of three nodes.
    fn cotangent(&self, from: usize, at: usize, to: usize) -> f64 {
        let ((x, y), (fx, fy), (tx, ty)) = (self.nodes_m[at], self.nodes_m[from], self.nodes_m[to]);
        let ((ax, ay), (bx, by)) = ((fx - x, fy - y), (tx - x, ty - y));
        (ax * bx + ay * by) / (ax * by - ay * bx).abs()
    }

    fn half_conductance(&self, face: &Face) -> f64 {
        let [(ax, ay), (bx, by)] = face.ends.map(|end| self.nodes_m[end]);
        libm::hypot(bx - ax, by - ay) / 2.0 / face.resistance_m2k_per_w
    }
}
