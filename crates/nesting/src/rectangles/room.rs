//! What the search sees: a room of fixed size to be filled with blocks.

/// A block at its place: least corner, across and along.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Spot {
    pub block: u16,
    pub at: [i32; 2],
}

/// One way to lay a piece of its kind.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Block {
    /// Across and along.
    pub size: [i32; 2],
    pub kind: u16,
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

    /// The same room, its blocks in this order.
    pub fn ordered(&self, order: &[u16]) -> Room {
        let mut places = vec![0; order.len()];
        for (place, &block) in order.iter().enumerate() {
            places[usize::from(block)] = place as u16;
        }
        let mut room = self.clone();
        let block = |&block: &u16| self.blocks[usize::from(block)];
        room.blocks = order.iter().map(block).collect();
        for block in room.kinds.iter_mut().flat_map(|kind| &mut kind.blocks) {
            *block = places[usize::from(*block)];
        }
        room
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
#[derive(Debug, PartialEq, Eq)]
pub struct Stock {
    /// By kind.
    left: Vec<u32>,
    /// The blocks whose kinds are left, as bits.
    live: Vec<u64>,
    /// Of all that is left.
    pub area: i64,
}

/// By hand, since the derived one has no `clone_from` that takes no memory.
impl Clone for Stock {
    fn clone(&self) -> Self {
        Stock {
            left: self.left.clone(),
            live: self.live.clone(),
            area: self.area,
        }
    }

    fn clone_from(&mut self, other: &Self) {
        self.left.clone_from(&other.left);
        self.live.clone_from(&other.live);
        self.area = other.area;
    }
}

impl Stock {
    /// All of it.
    pub fn whole(room: &Room) -> Self {
        let kinds = room.kinds.iter();
        let mut live = vec![0; room.blocks.len().div_ceil(64)];
        for (number, block) in room.blocks.iter().enumerate() {
            let is_left = room.kinds[usize::from(block.kind)].copies > 0;
            live[number / 64] |= u64::from(is_left) << (number % 64);
        }
        Stock {
            left: kinds.clone().map(|kind| kind.copies).collect(),
            live,
            area: kinds.map(|k| i64::from(k.copies) * k.area).sum(),
        }
    }

    /// The blocks whose kinds are left, as bits.
    pub fn live(&self) -> &[u64] {
        &self.live
    }

    /// Takes out what is in the block, which is there.
    pub fn take(&mut self, room: &Room, block: u16) {
        let number = usize::from(room.blocks[usize::from(block)].kind);
        let kind = &room.kinds[number];
        self.left[number] -= 1;
        self.area -= kind.area;
        if self.left[number] == 0 {
            for &block in &kind.blocks {
                self.live[usize::from(block) / 64] &= !(1 << (block % 64));
            }
        }
    }
}
