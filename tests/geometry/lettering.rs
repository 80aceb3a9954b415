//! Letters keep the proportions of ISO 3098 type B (heights, gaps), and every one that is promised is drawn.

use grainwise::geometry::{Chain, Rect, lettering};

fn bounds(text: &str, height: f64) -> Rect {
    lettering::bounds(&lettering::text(text, height)).unwrap()
}

fn near(a: f64, b: f64) -> bool {
    (a - b).abs() < 1e-9
}

/// The proportions of ISO 3098 type B (from a secondary source): capitals h, small letters 7/10 h.
#[test]
fn capitals_and_figures_are_as_high_as_asked_and_stand_on_the_line() {
    for letter in "ABCDEFGHIJKLMNOPRSTUVWXYZ0123456789".chars() {
        let b = bounds(&letter.to_string(), 5.0);
        assert!((b.y0).abs() < 0.01 && (b.y1 - 5.0).abs() < 0.01, "{letter}: {b:?}");
    }
}

#[test]
fn small_letters_are_seven_tenths_as_high() {
    for letter in "acemnorsuvwxzgpqy".chars() {
        let b = bounds(&letter.to_string(), 10.0);
        assert!((b.y1 - 7.0).abs() < 0.02, "{letter}: {b:?}");
    }
    for letter in "bdfhkl".chars() {
        assert!(near(bounds(&letter.to_string(), 10.0).y1, 10.0), "{letter}");
    }
    for letter in "gpqyj".chars() {
        let b = bounds(&letter.to_string(), 10.0);
        assert!((b.y0 + 3.0).abs() < 0.02, "{letter}: {b:?}");
    }
}

#[test]
fn letters_stand_two_tenths_apart_and_words_six() {
    let single = lettering::width("H", 10.0);
    assert!(near(lettering::width("HH", 10.0), 2.0 * single + 2.0));
    assert!(near(lettering::width("H H", 10.0), 2.0 * single + 6.0));
    assert!(near(lettering::width(" H ", 10.0), single));
}

#[test]
fn no_two_letters_of_a_text_come_nearer_than_their_gap() {
    for pair in ["AV", "Lo", "fj", "ïl", "ŁŁ", "Øø", "jj", "ðd", "Ąį"] {
        let mut signs = pair.chars().map(String::from);
        let (a, b) = (signs.next().unwrap(), signs.next().unwrap());
        let sum = lettering::width(&a, 10.0) + lettering::width(&b, 10.0);
        assert!(near(lettering::width(pair, 10.0), sum + 2.0), "{pair}");
    }
}

#[test]
fn a_text_begins_at_the_left_end_of_its_base_line() {
    for text in ["R1", "Jj", "øre", "\u{e6}"] {
        let b = bounds(text, 3.5);
        assert!(b.x0.abs() < 1e-9 && near(b.x1, lettering::width(text, 3.5)), "{text}: {b:?}");
    }
}

#[test]
fn every_promised_character_has_a_letter() {
    let promised = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789 .,:;!?'\"()[]{}/\\|-_+=<>~*#%&@\
        ÀÁÂÃÄÅÆÇÈÉÊËÌÍÎÏÐÑÒÓÔÕÖØÙÚÛÜÝÞßàáâãäåæçèéêëìíîïðñòóôõöøùúûüýþÿ\
        ĀāĂăĄąĆćĈĉĊċČčĎďĐđĒēĔĕĖėĘęĚěĜĝĞğĠġĢģĤĥĨĩĪīĬĭĮįİıĴĵĶķĹĺĻļŁłŃńŅņŇňŌōŎŏŐőŒœŔŕŖŗŘřŚśŜŝŞşŠšŢţŤťŨũŪūŬŭŮůŰűŲųŴŵŶŷŸŹźŻżŽžȘșȚț";
    assert_eq!(lettering::unknown(promised), Vec::<char>::new());
    assert_eq!(lettering::text(promised, 5.0).iter().filter(|c| c.length() <= 0.0).count(), 0);
}

#[test]
fn an_accent_after_its_base_is_the_letter_with_the_accent() {
    assert_eq!(lettering::text("e\u{301}", 5.0), lettering::text("é", 5.0));
    assert_eq!(lettering::unknown("e\u{301}"), Vec::<char>::new());
}

#[test]
fn accents_stand_clear_of_their_base() {
    for (accented, base) in [("É", "E"), ("ö", "o"), ("Å", "A"), ("ŵ", "w"), ("ť", "t")] {
        let (whole, base) = (lettering::text(accented, 10.0), lettering::text(base, 10.0));
        let foot = lettering::bounds(&whole[base.len()..]).unwrap().y0;
        let top = lettering::bounds(&base).unwrap().y1;
        assert!(foot - top > 0.5, "{accented}: {foot} over {top}");
    }
}

#[test]
fn what_has_no_letter_is_a_box_and_is_told_once() {
    assert_eq!(lettering::unknown("A漢字漢"), ['漢', '字']);
    let b = bounds("漢", 10.0);
    assert_eq!((b.x0, b.y0, b.x1, b.y1), (0.0, 0.0, 5.0, 10.0));
}

#[test]
fn blanks_draw_nothing() {
    assert_eq!(lettering::text("", 5.0), Vec::<Chain>::new());
    assert_eq!(lettering::text(" \t\n", 5.0), Vec::<Chain>::new());
}

#[test]
fn lettering_grows_with_its_height() {
    let (small, large) = (lettering::text("Rippe 7", 1.0), lettering::text("Rippe 7", 4.0));
    let length = |strokes: &[Chain]| strokes.iter().map(Chain::length).sum::<f64>();
    assert!((length(&large) - 4.0 * length(&small)).abs() < 1e-6);
}
