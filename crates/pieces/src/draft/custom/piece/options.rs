//! What can be set in a `[[piece]]` of a custom draft: read from here, listed from here.

use crate::draft::OptionSpec;

const fn option(
    key: &'static str,
    takes: &'static str,
    default: &'static str,
    about: &'static str,
) -> OptionSpec {
    OptionSpec {
        key,
        takes,
        default,
        about,
    }
}

pub(in crate::draft::custom) const OPTIONS: &[OptionSpec] = &[
    option("name", "text", "must be set", "what the piece is called"),
    option(
        "copies",
        "whole number",
        "1, of a pair 2",
        "how many to cut for each garment",
    ),
    option(
        "pair",
        "true or false",
        "false",
        "every second copy is mirrored: one for the left, one for the right",
    ),
    option(
        "grain",
        "\"lengthwise\", \"crosswise\", \"bias\" or \"either\"",
        "lengthwise",
        "how its length (up in an outline) lies on the cloth",
    ),
    option(
        "fabric",
        "name of a fabric of the job",
        "that of the garment",
        "what it is cut from",
    ),
    option(
        "shape",
        "\"rectangle\" or \"trapezoid\"",
        "must be set, or an outline",
        "what the sizes below make",
    ),
    option(
        "width",
        "formula",
        "must be set with a shape",
        "width at the top",
    ),
    option(
        "length",
        "formula",
        "must be set with a shape",
        "length from the top to the hem",
    ),
    option(
        "flare",
        "formula",
        "must be set with a trapezoid",
        "how much wider the hem is than the top, on each side",
    ),
    option(
        "outline",
        "list of corners, each a pair of formulas [x, y]",
        "none",
        "x to the right and y upwards, in order round the piece; instead of a shape",
    ),
    option(
        "edges",
        "list of names",
        "hem, right, top, left; edge 1, edge 2 ... of an outline",
        "what the edges are called; the first goes from corner 1 to corner 2",
    ),
    option(
        "sizes",
        "\"finished\" or \"cut\"",
        "finished",
        "whether allowances are added outside, or lie inside the sizes",
    ),
    option("allowance", "formula", "0", "allowance on every edge"),
    option(
        "allowances",
        "table: edge = formula",
        "none",
        "allowance of single edges, by name or number: { hem = 3, 2 = 1.5 }",
    ),
    option(
        "hem",
        "name or number of an edge",
        "the lower edge of a shape; none of an outline",
        "which edge is the hem",
    ),
    option(
        "notches",
        "table: corner = text",
        "none",
        "notches at corners, by number, with what is written beside: { 2 = \"side\" }",
    ),
];
