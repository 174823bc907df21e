//! What the search sees: a room of fixed size to be filled with blocks.

/// A block at its place: least corner, across and along.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Spot {
    pub block: u16,
    pub at: [i32; 2],
}

/// A rectangle that holds one piece of its kind, or several.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Block {
    /// Across and along.
    pub size: [i32; 2],
    pub kind: u16,
    pub pieces: u32,
}

/// Pieces that are alike.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Kind {
    pub copies: u32,
    /// Of one.
    pub area: i64,
    /// In which they may be laid.
    pub blocks: Vec<u16>,
}

/// A room, its blocks and how many there are. Seen from the side, what is across and along is exchanged: a full
/// room is the same from there, and the search goes another way.
#[derive(Clone, Debug)]
pub struct Room {
    pub across: i32,
    pub along: i32,
    pub blocks: Vec<Block>,
    pub kinds: Vec<Kind>,
}

impl Room {
    #[cfg(test)]
    pub fn of(across: i32, along: i32, sizes: &[([i32; 2], u32)]) -> Self {
        let block = |(kind, &(size, _)): (usize, &([i32; 2], u32))| Block {
            size,
            kind: kind as u16,
            pieces: 1,
        };
        let kind = |(number, &(size, copies)): (usize, &([i32; 2], u32))| Kind {
            copies,
            area: i64::from(size[0]) * i64::from(size[1]),
            blocks: vec![number as u16],
        };
        Room {
            across,
            along,
            blocks: sizes.iter().enumerate().map(block).collect(),
            kinds: sizes.iter().enumerate().map(kind).collect(),
        }
    }

    pub fn size(&self, block: u16) -> [i32; 2] {
        self.blocks[usize::from(block)].size
    }

    /// Its area less that of all pieces.
    pub fn waste(&self) -> i64 {
        let all = self.kinds.iter().map(|k| i64::from(k.copies) * k.area);
        i64::from(self.across) * i64::from(self.along) - all.sum::<i64>()
    }

    /// The same room as it is seen from the side.
    pub fn sideways(&self) -> Room {
        let turned = |block: &Block| Block {
            size: [block.size[1], block.size[0]],
            ..*block
        };
        Room {
            across: self.along,
            along: self.across,
            blocks: self.blocks.iter().map(turned).collect(),
            kinds: self.kinds.clone(),
        }
    }
}

/// What is left to be laid.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Stock {
    /// By kind.
    left: Vec<u32>,
    /// Of all that is left.
    pub area: i64,
}

impl Stock {
    /// All of it.
    pub fn whole(room: &Room) -> Self {
        Stock {
            left: room.kinds.iter().map(|kind| kind.copies).collect(),
            area: room
                .kinds
                .iter()
                .map(|k| i64::from(k.copies) * k.area)
                .sum(),
        }
    }

    /// By kind.
    pub fn left(&self) -> &[u32] {
        &self.left
    }

    /// Whether enough is left for the block.
    pub fn holds(&self, room: &Room, block: u16) -> bool {
        let block = room.blocks[usize::from(block)];
        self.left[usize::from(block.kind)] >= block.pieces
    }

    /// Takes out what is in the block. Those of which less is left now.
    pub fn take<'r>(&mut self, room: &'r Room, block: u16) -> &'r [u16] {
        let block = room.blocks[usize::from(block)];
        let kind = &room.kinds[usize::from(block.kind)];
        self.left[usize::from(block.kind)] -= block.pieces;
        self.area -= i64::from(block.pieces) * kind.area;
        &kind.blocks
    }
}
