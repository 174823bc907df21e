//! [`Frame`]: a box in whole micrometres.

/// Least and greatest x and y, the borders themselves outside.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Frame {
    pub x: [i32; 2],
    pub y: [i32; 2],
}

impl Frame {
    /// Meets nothing, wherever on a cloth it is moved.
    pub const NONE: Frame = Frame {
        x: [i32::MAX / 2, i32::MIN / 2],
        y: [i32::MAX / 2, i32::MIN / 2],
    };

    /// Just this place.
    pub fn at(x: i32, y: i32) -> Self {
        Frame {
            x: [x, x],
            y: [y, y],
        }
    }

    pub fn moved(self, x: i32, y: i32) -> Self {
        Frame {
            x: self.x.map(|v| v + x),
            y: self.y.map(|v| v + y),
        }
    }

    /// Around both.
    pub fn with(self, other: Frame) -> Self {
        let join = |a: [i32; 2], b: [i32; 2]| [a[0].min(b[0]), a[1].max(b[1])];
        Frame {
            x: join(self.x, other.x),
            y: join(self.y, other.y),
        }
    }
}
