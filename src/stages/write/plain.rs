//! Names in plain letters: what a person may call a part is more than a controller or a table can show.

/// Latin letters and signs beyond ASCII with the plain letters nearest to them.
const NEAREST: [(&str, &str); 62] = [
    ("ÀÁÂÃÅĀĂĄ", "A"),
    ("àáâãåāăą", "a"),
    ("Ä", "Ae"),
    ("ä", "ae"),
    ("Æ", "AE"),
    ("æ", "ae"),
    ("ÇĆĈĊČ", "C"),
    ("çćĉċč", "c"),
    ("ĎĐÐ", "D"),
    ("ďđð", "d"),
    ("ÈÉÊËĒĔĖĘĚ", "E"),
    ("èéêëēĕėęě", "e"),
    ("ĜĞĠĢ", "G"),
    ("ĝğġģ", "g"),
    ("ĤĦ", "H"),
    ("ĥħ", "h"),
    ("ÌÍÎÏĨĪĬĮİ", "I"),
    ("ìíîïĩīĭįı", "i"),
    ("Ĵ", "J"),
    ("ĵ", "j"),
    ("Ķ", "K"),
    ("ķĸ", "k"),
    ("ĹĻĽĿŁ", "L"),
    ("ĺļľŀł", "l"),
    ("ÑŃŅŇŊ", "N"),
    ("ñńņňŋŉ", "n"),
    ("ÒÓÔÕŌŎŐØ", "O"),
    ("òóôõōŏőø", "o"),
    ("Ö", "Oe"),
    ("ö", "oe"),
    ("Œ", "OE"),
    ("œ", "oe"),
    ("ŔŖŘ", "R"),
    ("ŕŗř", "r"),
    ("ŚŜŞŠȘ", "S"),
    ("śŝşšșſ", "s"),
    ("ß", "ss"),
    ("ẞ", "SS"),
    ("ŢŤŦȚ", "T"),
    ("ţťŧț", "t"),
    ("ÙÚÛŨŪŬŮŰŲ", "U"),
    ("ùúûũūŭůűų", "u"),
    ("Ü", "Ue"),
    ("ü", "ue"),
    ("Ŵ", "W"),
    ("ŵ", "w"),
    ("ÝŶŸ", "Y"),
    ("ýŷÿ", "y"),
    ("ŹŻŽ", "Z"),
    ("źżž", "z"),
    ("Þ", "Th"),
    ("þ", "th"),
    ("×", "x"),
    ("÷", "/"),
    ("°", " deg"),
    ("±", "+/-"),
    ("½", "1/2"),
    ("¼", "1/4"),
    ("¾", "3/4"),
    ("–—−‐‑", "-"),
    ("‘’‚′", "'"),
    ("µμ", "u"),
];

/// The plain letters nearest to `c`; none where there are none.
pub(super) fn nearest(c: char) -> Option<&'static str> {
    NEAREST.iter().find(|(letters, _)| letters.contains(c)).map(|(_, plain)| *plain)
}

/// `text` on one line: control characters, line and paragraph ends become spaces, and marks that turn the direction of
/// writing, which can make a name look like another, are left out.
pub(super) fn one_line(text: &str) -> String {
    let turning = |c: char| matches!(c, '\u{200b}'..='\u{200f}' | '\u{202a}'..='\u{202e}' | '\u{2060}'..='\u{2069}' | '\u{feff}');
    let ends = |c: char| c.is_control() || matches!(c, '\u{2028}' | '\u{2029}');
    let plain: String =
        text.chars().filter(|c| !turning(*c)).map(|c| if ends(c) { ' ' } else { c }).collect();
    plain.split_whitespace().collect::<Vec<_>>().join(" ")
}
