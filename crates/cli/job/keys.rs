//! Every key of a job file, with unit and default: one list, read by three.
//!
//! `lengthwise keys` prints it, the reader refuses what is not in it, and a message about an unknown
//! key takes the nearest name from it. So a key cannot be read and not be documented.

/// A key of a job file.
#[derive(Clone, Copy, Debug)]
pub struct Key {
    /// Its name: `width`.
    pub name: &'static str,
    /// What it takes, with its unit.
    pub takes: &'static str,
    /// What is used when it is left out; `needed` if it may not be.
    pub default: &'static str,
    /// What it does, one sentence.
    pub about: &'static str,
}

/// A table of a job file.
#[derive(Clone, Copy, Debug)]
pub struct Table {
    /// Its heading: `[fabric.NAME]`.
    pub heading: &'static str,
    /// One sentence about it.
    pub about: &'static str,
    /// Its keys.
    pub keys: &'static [Key],
}

const fn key(
    name: &'static str,
    takes: &'static str,
    default: &'static str,
    about: &'static str,
) -> Key {
    Key {
        name,
        takes,
        default,
        about,
    }
}

/// Keys at the top of the file.
pub const TOP: Table = Table {
    heading: "at the top",
    about: "",
    keys: &[
        key(
            "title",
            "text",
            "the file's name",
            "Printed on every drawing.",
        ),
        key(
            "units",
            "cm, mm, m, in or yd",
            "cm",
            "The unit of every bare number, and of what is printed. \"97.5 cm\", \"38 3/8 in\", \
             \"1 1/2 yd\" name their own.",
        ),
        key("currency", "text", "none", "Printed beside costs: \"EUR\"."),
        key(
            "wearers",
            "path of a CSV",
            "none",
            "One row a wearer: a column `name`, then columns named as the measurements; an empty \
             cell is a measurement not taken. Beside or instead of [wearer.NAME].",
        ),
        key("fabric", "tables", "needed", "See [fabric.NAME]."),
        key("wearer", "tables", "none", "See [wearer.NAME]."),
        key("make", "list of tables", "needed", "See [[make]]."),
        key("compare", "table", "none", "See [compare]."),
    ],
};

/// Keys of a fabric.
pub const FABRIC: Table = Table {
    heading: "[fabric.NAME]",
    about: "What a cloth is made of. One table for each fabric of the job.",
    keys: &[
        key(
            "width",
            "length",
            "needed",
            "From edge to edge, selvedges included.",
        ),
        key(
            "selvedge",
            "length",
            "0",
            "Width of each selvedge; nothing is laid on it.",
        ),
        key(
            "direction",
            "\"none\", \"two-way\", \"one-way\" or \"one-way per garment\"",
            "\"none\"",
            "none: plain, a band may lie sideways; two-way: looks the same turned end for end; \
             one-way: nap or print, every piece points the same way; one-way per garment: all \
             pieces of one garment do.",
        ),
        key(
            "drape",
            "\"crisp\" or \"soft\"",
            "\"crisp\"",
            "crisp: has body, panels are rectangles; soft: panels flare towards the hem.",
        ),
        key(
            "faces_alike",
            "true or false",
            "false",
            "true: either face may be the right side, so a piece may be turned over.",
        ),
        key(
            "shrinkage",
            "share, as \"5 %\" or 0.05",
            "0",
            "Length lost when it is washed before cutting.",
        ),
        key(
            "end_allowance",
            "length",
            "2 cm (1 in in inch jobs)",
            "Added to a length to buy, for straightening the cut end. A length on hand is measured \
             between straight ends.",
        ),
        key(
            "selling_step",
            "length",
            "10 cm (1/8 yd in inch jobs)",
            "What shops sell it by.",
        ),
        key(
            "spacing",
            "length",
            "0",
            "Kept free between pieces; 0 lets two pieces share one cut line.",
        ),
        key(
            "cutting",
            "\"free\", \"straight\" or \"tear\"",
            "\"free\"",
            "free: each piece along its own edge; straight: the layout is parted by straight cuts from edge to \
             edge, as with a rotary cutter; tear: so that the cloth can be torn across, along, and across \
             again, and what is left at the side of a piece taken off. Each piece then stands for the rectangle \
             around it and keeps half of the spacing from every cut; the answer lists the cuts.",
        ),
        key(
            "price",
            "number, per metre (per yard in inch jobs)",
            "none",
            "What it costs.",
        ),
        key(
            "have",
            "length, or a list of lengths",
            "none: it is to be bought",
            "What is on hand. Several lengths are several offers: which one is enough? A bare \
             number takes the job's unit, so cloth is best written \"1.5 m\".",
        ),
    ],
};

/// Keys of a wearer; the measurements come beside them.
pub const WEARER: Table = Table {
    heading: "[wearer.NAME]",
    about: "One person. The keys are the measurements, each a length; `lengthwise measurements` \
            lists them, `lengthwise drafts NAME` says which a draft needs.",
    keys: &[key(
        "size",
        "a size of a published table: \"EN 13402-3 bust 88\"",
        "none",
        "Fills in the girths that were not measured; `lengthwise measurements` lists the tables. In a CSV \
         a column of that name.",
    )],
};

/// Keys that every `[[make]]` has; the draft's own options come beside them.
pub const MAKE: Table = Table {
    heading: "[[make]]",
    about: "What to make. One table for each kind of garment; the draft's own options stand beside \
            these keys, see `lengthwise drafts NAME`.",
    keys: &[
        key(
            "draft",
            "text",
            "needed",
            "Which draft: `lengthwise drafts` lists them.",
        ),
        key(
            "fabric",
            "text",
            "the job's fabric if it has only one",
            "The NAME of a [fabric.NAME].",
        ),
        key("wearers", "list of names", "everybody", "Who gets one."),
        key("copies", "whole number", "1", "How many for each wearer."),
        key(
            "file",
            "path of a TOML file",
            "none",
            "For draft = \"custom\": the file that the draft stands in, instead of here.",
        ),
    ],
};

/// Keys of the comparison.
pub const COMPARE: Table = Table {
    heading: "[compare]",
    about: "What `lengthwise compare` plans the job under: each fabric named takes the place of the \
            others, and each choice is a fabric with some keys changed.",
    keys: &[
        key(
            "fabrics",
            "list of fabrics",
            "none",
            "The job is planned once for each; a [[make]] whose fabric is one of them takes each in turn.",
        ),
        key(
            "choice",
            "list of tables",
            "none",
            "See [[compare.choice]].",
        ),
    ],
};

/// Keys of one choice; any key of a fabric may stand beside them.
pub const CHOICE: Table = Table {
    heading: "[[compare.choice]]",
    about: "One choice. Any key of [fabric.NAME] beside these changes the fabric for this choice.",
    keys: &[
        key("label", "text", "needed", "What it is called in the table."),
        key(
            "fabric",
            "text",
            "the job's fabric if it has only one, else the first make's",
            "The fabric it starts from. One that something else is cut from is changed for itself and \
             takes nobody's place.",
        ),
    ],
};

/// All tables in the order of a job file.
pub const ALL: [Table; 6] = [TOP, FABRIC, WEARER, MAKE, COMPARE, CHOICE];

impl Table {
    /// The names of its keys.
    pub fn names(&self) -> impl Iterator<Item = &'static str> + use<> {
        self.keys.iter().map(|key| key.name)
    }
}
