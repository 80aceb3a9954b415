//! The letters of a DXF file: UTF-8 from R2007 on, before that whatever the header's code page says.

use encoding_rs::{Encoding, UTF_8, WINDOWS_1252};

use crate::problem::Problem;
use crate::stages::drawing::talk::Talk;

/// Turns bytes of the file into text.
#[derive(Debug)]
pub(super) struct Letters {
    page: Option<&'static Encoding>,
    name: String,
    told: bool,
}

impl Letters {
    /// Before anything is known.
    pub(super) const fn new() -> Self {
        Self { page: None, name: String::new(), told: false }
    }

    /// The header names this code page.
    pub(super) fn set_page(&mut self, name: &str) {
        name.clone_into(&mut self.name);
        self.page = page(name);
    }

    /// The text. Bytes that are not UTF-8 are read by the code page, else as Windows-1252, which is said once.
    pub(super) fn decode(&mut self, raw: &[u8], place: usize, talk: &mut Talk) -> String {
        if let Ok(text) = std::str::from_utf8(raw) {
            return text.to_owned();
        }
        let (text, _, wrong) = self.page.unwrap_or(WINDOWS_1252).decode(raw);
        if (wrong || self.page.is_none()) && !self.told {
            self.told = true;
            talk.push_at(place, unsure(&self.name));
        }
        text.into_owned()
    }
}

fn unsure(name: &str) -> Problem {
    let why = if name.is_empty() {
        "the file does not say its code page".to_owned()
    } else {
        format!("the code page '{name}' is not known or does not fit")
    };
    Problem::warning("code-page", format!("letters beyond ASCII may be wrong: {why}"))
        .hint("compare the names of the parts with the drawing")
}

/// The encoding of a code page: names such as `ANSI_1252`; DOS pages by their number.
fn page(name: &str) -> Option<&'static Encoding> {
    let lower = name.trim().to_ascii_lowercase();
    let number = lower.trim_start_matches(|c: char| !c.is_ascii_digit());
    let label = match number {
        "932" => "shift_jis",
        "936" => "gbk",
        "949" => "euc-kr",
        "950" => "big5",
        "866" => "ibm866",
        "874" => "windows-874",
        "65001" => return Some(UTF_8),
        "1250" | "1251" | "1252" | "1253" | "1254" | "1255" | "1256" | "1257" | "1258" => {
            return Encoding::for_label(format!("windows-{number}").as_bytes());
        }
        _ if lower.contains("utf") => return Some(UTF_8),
        _ => return None,
    };
    Encoding::for_label(label.as_bytes())
}
