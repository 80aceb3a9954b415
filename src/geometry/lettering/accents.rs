//! Accents, and which letters are made of a base and an accent.
//!
//! Accents are drawn like letters, about x 0; those above stand on the top of their base (y 0 there), those below hang
//! from its foot.

/// Accents above, by their combining sign.
pub(super) const ABOVE: &[(char, &str)] = &[
    ('\u{300}', "0.7,1 -0.7,2.8"),
    ('\u{301}', "-0.7,1 0.7,2.8"),
    ('\u{302}', "-1.4,1 0,2.7 1.4,1"),
    ('\u{303}', "-1.8,1.4@-110 0,1.8@110 1.8,2.2"),
    ('\u{304}', "-1.6,1.7 1.6,1.7"),
    ('\u{306}', "-1.4,2.6@150 1.4,2.6"),
    ('\u{307}', "0,1.6 0,2.4"),
    ('\u{308}', "-1.2,1.5 -1.2,2.3;1.2,1.5 1.2,2.3"),
    ('\u{30a}', "0.9,1.9@180 -0.9,1.9@180 0.9,1.9"),
    ('\u{30b}', "-1.5,1 -0.3,2.8;0.5,1 1.7,2.8"),
    ('\u{30c}', "-1.4,2.7 0,1 1.4,2.7"),
    ('\u{312}', "0.4,2.8 -0.3,1"),
];

/// Accents below, by their combining sign.
pub(super) const BELOW: &[(char, &str)] = &[
    ('\u{326}', "0.4,-1 -0.3,-2.8"),
    ('\u{327}', "0,0 0,-0.9@-180 0,-2.7 -0.8,-2.7"),
    ('\u{328}', "0,0@50 -0.8,-1.6@130 0.7,-2.6"),
];

/// For each accent the letters that bear it, each followed by its base.
pub(super) const COMPOSED: &[(char, &str)] = &[
    ('\u{300}', "ÀAÈEÌIÒOÙUǸNẀWỲYàaèeìiòoùuǹnẁwỳy"),
    ('\u{301}', "ÁAÉEÍIÓOÚUÝYĆCĹLŃNŔRŚSŹZǴGẂWáaéeíióoúuýyćcĺlńnŕrśsźzǵgẃw"),
    ('\u{302}', "ÂAÊEÎIÔOÛUĈCĜGĤHĴJŜSŴWŶYâaêeîiôoûuĉcĝgĥhĵjŝsŵwŷy"),
    ('\u{303}', "ÃAÑNÕOĨIŨUẼEãañnõoĩiũuẽe"),
    ('\u{304}', "ĀAĒEĪIŌOŪUāaēeīiōoūu"),
    ('\u{306}', "ĂAĔEĞGĬIŎOŬUăaĕeğgĭiŏoŭu"),
    ('\u{307}', "ĊCĖEĠGİIŻZċcėeġgżz"),
    ('\u{308}', "ÄAËEÏIÖOÜUŸYäaëeïiöoüuÿy"),
    ('\u{30a}', "ÅAŮUåaůu"),
    ('\u{30b}', "ŐOŰUőoűu"),
    ('\u{30c}', "ČCĎDĚEŇNŘRŠSŤTŽZǍAčcďděeňnřršsťtžzǎa"),
    ('\u{312}', "ģg"),
    ('\u{326}', "ȘSȚTĢGĶKĻLŅNŖRșsțtķkļlņnŗr"),
    ('\u{327}', "ÇCŞSŢTçcşsţt"),
    ('\u{328}', "ĄAĘEĮIŲUąaęeįiųu"),
];
