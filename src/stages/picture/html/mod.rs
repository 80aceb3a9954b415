//! The preview as one HTML file that opens from a disk, offline: every sheet with what will be cut, problems, parts, and the
//! program that cuts them.
//!
//! Style and script are files beside this one; what is shown goes in as JSON in an element that no browser runs. A content
//! security policy in the file forbids all loading, and all script and style but these two, known by their hashes.

mod data;
mod paths;
mod rows;

use sha2::{Digest as _, Sha256};

use super::Scene;
use super::pen::escaped;
use crate::shop::Machine;
use crate::stages::proof::Proof;
use crate::stages::write::Written;

/// The page around style, script and data.
const PAGE: &str = include_str!("page.html");

/// How it looks.
const STYLE: &str = include_str!("look.css");

/// What it does: the files follow each other in one function, so that each may use those before it.
const SCRIPT: [&str; 17] = [
    include_str!("script/words.js"),
    include_str!("script/arcs.js"),
    include_str!("script/kit.js"),
    include_str!("script/boards.js"),
    include_str!("script/view.js"),
    include_str!("script/pen.js"),
    include_str!("script/corners.js"),
    include_str!("script/remnant.js"),
    include_str!("script/draw.js"),
    include_str!("script/snap.js"),
    include_str!("script/run.js"),
    include_str!("script/hands.js"),
    include_str!("script/lists.js"),
    include_str!("script/program.js"),
    include_str!("script/compare.js"),
    include_str!("script/glide.js"),
    include_str!("script/begin.js"),
];

/// What a page that follows its job does besides.
const FOLLOW: &str = include_str!("script/live.js");

/// All that the preview page shows.
#[derive(Clone, Copy, Debug)]
pub struct Preview<'a> {
    /// The job as far as the journey got, with all problems, the proof's among them.
    pub scene: Scene<'a>,
    /// The machine.
    pub machine: &'a Machine,
    /// The files, not yet on the disk.
    pub files: &'a [Written],
    /// The same files, read back.
    pub proof: &'a Proof,
    /// What everybody has to mind at this machine.
    pub cautions: [&'static str; 3],
}

/// The page as text; the same preview gives the same bytes.
pub fn html(preview: &Preview<'_>) -> String {
    page(preview, None)
}

/// The page as the one of this number, which asks its server for word of a newer one and nothing else of anybody.
pub fn live_html(preview: &Preview<'_>, version: u64) -> String {
    page(preview, Some(version))
}

fn page(preview: &Preview<'_>, live: Option<u64>) -> String {
    let (follow, ask) = if live.is_some() { (FOLLOW, "connect-src 'self'; ") } else { ("", "") };
    let script = format!("\"use strict\";\n(() => {{\n{follow}{}}})();\n", SCRIPT.join("\n"));
    let policy = format!(
        "default-src 'none'; {ask}script-src '{}'; style-src '{}'; base-uri 'none'; form-action 'none'",
        hash(&script),
        hash(STYLE)
    );
    let fills = [
        ("policy", policy),
        ("title", escaped(preview.scene.title)),
        ("style", STYLE.to_owned()),
        ("data", inert(&data::json(preview, live))),
        ("script", script),
    ];
    filled(PAGE, &fills)
}

/// The page with each `{{name}}` replaced; what is filled in is not looked at again.
fn filled(page: &str, fills: &[(&str, String)]) -> String {
    let mut text = String::new();
    for (i, piece) in page.split("{{").enumerate() {
        let fill = piece.split_once("}}").filter(|_| i > 0);
        let known = fill.and_then(|(name, rest)| Some((fills.iter().find(|(n, _)| *n == name)?, rest)));
        match known {
            Some(((_, value), rest)) => {
                text.push_str(value);
                text.push_str(rest);
            }
            None => text.push_str(piece),
        }
    }
    text
}

/// JSON in which nothing can end the element that holds it: `<` only occurs within strings, where it may be escaped.
fn inert(json: &str) -> String {
    json.replace('<', "\\u003c").replace('\u{2028}', "\\u2028").replace('\u{2029}', "\\u2029")
}

/// The hash of an inline script or style as a content security policy writes it (W3C, Content Security Policy Level 3,
/// section 2.3.1).
fn hash(text: &str) -> String {
    format!("sha256-{}", base64(&Sha256::digest(text.as_bytes())))
}

/// Base64 (RFC 4648, section 4).
fn base64(bytes: &[u8]) -> String {
    const LETTERS: &[u8; 64] = b"ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/";
    let mut text = String::new();
    for three in bytes.chunks(3) {
        let at = |i: usize| u32::from(three.get(i).copied().unwrap_or(0));
        let bits = at(0) << 16 | at(1) << 8 | at(2);
        for i in 0..4 {
            let letter = LETTERS[(bits >> (18 - 6 * i) & 63) as usize];
            text.push(if i > three.len() { '=' } else { char::from(letter) });
        }
    }
    text
}

#[cfg(test)]
mod tests {
    use super::*;

    /// RFC 4648, section 10.
    #[test]
    fn base64_is_that_of_the_standard() {
        let told = ["", "Zg==", "Zm8=", "Zm9v", "Zm9vYg==", "Zm9vYmE=", "Zm9vYmFy"];
        for (length, text) in told.into_iter().enumerate() {
            assert_eq!(base64(&b"foobar"[..length]), text);
        }
    }

    #[test]
    fn what_is_filled_in_is_not_filled_again() {
        let fills = [("a", "{{b}}".to_owned()), ("b", "no".to_owned())];
        assert_eq!(filled("<{{a}}>", &fills), "<{{b}}>");
    }
}
