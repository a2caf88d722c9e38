//! Vectors in space and small systems of equations, on the stack.

use std::ops::{Add, Mul, Neg, Sub};

/// A point or a direction in car axes (ISO 8855): x forward, y to the left, z up. Points are in metres.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Vector {
    /// Forward.
    pub x: f64,
    /// To the left.
    pub y: f64,
    /// Up.
    pub z: f64,
}

impl Vector {
    /// Up by one.
    pub const UP: Self = Self::new(0.0, 0.0, 1.0);

    /// From its three parts.
    pub const fn new(x: f64, y: f64, z: f64) -> Self {
        Self { x, y, z }
    }

    /// A point given in millimetres.
    pub const fn mm(x: f64, y: f64, z: f64) -> Self {
        Self::new(x / 1e3, y / 1e3, z / 1e3)
    }

    /// The scalar product.
    pub const fn dot(self, other: Self) -> f64 {
        self.x * other.x + self.y * other.y + self.z * other.z
    }

    /// The vector product.
    pub const fn cross(self, other: Self) -> Self {
        Self::new(
            self.y * other.z - self.z * other.y,
            self.z * other.x - self.x * other.z,
            self.x * other.y - self.y * other.x,
        )
    }

    /// Its length.
    pub fn length(self) -> f64 {
        self.dot(self).sqrt()
    }

    /// Its direction; not a number where it has no length.
    pub fn unit(self) -> Self {
        self * (1.0 / self.length())
    }

    /// Whether all its parts are numbers.
    pub const fn is_finite(self) -> bool {
        self.x.is_finite() && self.y.is_finite() && self.z.is_finite()
    }
}

impl Add for Vector {
    type Output = Self;
    fn add(self, other: Self) -> Self {
        Self::new(self.x + other.x, self.y + other.y, self.z + other.z)
    }
}

impl Sub for Vector {
    type Output = Self;
    fn sub(self, other: Self) -> Self {
        Self::new(self.x - other.x, self.y - other.y, self.z - other.z)
    }
}

impl Neg for Vector {
    type Output = Self;
    fn neg(self) -> Self {
        Self::new(-self.x, -self.y, -self.z)
    }
}

impl Mul<f64> for Vector {
    type Output = Self;
    fn mul(self, factor: f64) -> Self {
        Self::new(self.x * factor, self.y * factor, self.z * factor)
    }
}

/// A rotation as a unit quaternion, which stays one after many small turns at little cost.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Rotation {
    real: f64,
    turn: Vector,
}

impl Rotation {
    /// None.
    pub const NONE: Self = Self {
        real: 1.0,
        turn: Vector::new(0.0, 0.0, 0.0),
    };

    /// A vector turned.
    pub fn of(self, v: Vector) -> Vector {
        let twice = self.turn.cross(v) * 2.0;
        v + twice * self.real + self.turn.cross(twice)
    }

    /// Followed by a turn about the vector's direction, nearly by its length: exact to the third power of it, and always a rotation.
    pub fn then(self, small: Vector) -> Self {
        let half = small * 0.5;
        let real = self.real - half.dot(self.turn);
        let turn = self.turn + half * self.real + half.cross(self.turn);
        let scale = 1.0 / (real * real + turn.dot(turn)).sqrt();
        Self {
            real: real * scale,
            turn: turn * scale,
        }
    }

    /// Its axis times its angle in radians.
    pub fn vector(self) -> Vector {
        let sine = self.turn.length();
        if sine < 1e-12 {
            return self.turn * (2.0 * self.real.signum());
        }
        // The shorter way round.
        let angle = 2.0 * (sine * self.real.signum()).atan2(self.real.abs());
        self.turn * (angle / sine)
    }
}

/// Six equations in six unknowns, taken apart once and solved for several right sides.
#[derive(Clone, Debug)]
pub struct System {
    rows: [[f64; 6]; 6],
    order: [usize; 6],
}

/// The equation that the others already say, by its row.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Dependent(pub usize);

impl System {
    /// Takes the equations apart (Gauss, with the largest pivot of each column).
    ///
    /// # Errors
    /// The row that depends on the others: no pivot above `least`.
    pub fn new(mut rows: [[f64; 6]; 6], least: f64) -> Result<Self, Dependent> {
        let mut order = [0, 1, 2, 3, 4, 5];
        for column in 0..6 {
            let mut best = column;
            for row in column + 1..6 {
                if rows[row][column].abs() > rows[best][column].abs() {
                    best = row;
                }
            }
            rows.swap(column, best);
            order.swap(column, best);
            let pivot = rows[column][column];
            if pivot.is_nan() || pivot.abs() <= least {
                return Err(Dependent(order[column]));
            }
            let (above, below) = rows.split_at_mut(column + 1);
            let lead = &above[column];
            for row in below {
                let factor = row[column] / pivot;
                row[column] = factor;
                for (cell, lead) in row.iter_mut().zip(lead).skip(column + 1) {
                    *cell -= factor * lead;
                }
            }
        }
        Ok(Self { rows, order })
    }

    /// What solves it for these right sides.
    pub fn solve(&self, right: &[f64; 6]) -> [f64; 6] {
        let mut x = [0.0; 6];
        for (place, row) in self.rows.iter().enumerate() {
            let known: f64 = row.iter().zip(&x).take(place).map(|(a, x)| a * x).sum();
            x[place] = right[self.order[place]] - known;
        }
        for (place, row) in self.rows.iter().enumerate().rev() {
            let known: f64 = row.iter().zip(&x).skip(place + 1).map(|(a, x)| a * x).sum();
            x[place] = (x[place] - known) / row[place];
        }
        x
    }
}
