//! Links: round trip over random designs, and the parts read by unrelated programs.
#![cfg(not(target_arch = "wasm32"))]

use linkfold::documents::design::{AnnealBefore, Design, Shapes, Size, WeaveChoice, WireChoice};
use linkfold::documents::gauge::{Gauge, GaugeSystem};
use linkfold::documents::share::{self, LinkError};
use proptest::prelude::*;
use std::io::Read;

fn any_wire() -> impl Strategy<Value = WireChoice> {
    prop_oneof![
        (0.05..20.0_f64).prop_map(WireChoice::by_diameter),
        (-3..=40_i32)
            .prop_map(|number| WireChoice::by_gauge(Gauge { system: GaugeSystem::Awg, number })),
    ]
}

fn any_size() -> impl Strategy<Value = Size> {
    let half = || proptest::option::of(0.01..1000.0_f64);
    let name = "\\PC{0,20}";
    (name, proptest::option::of(any_wire()), 0.1..1000.0_f64, half(), half(), half()).prop_map(
        |(name, wire, mandrel, bore_mm, fold_jaw_mm, tip_gap_mm)| Size {
            name,
            wire,
            bore_mm,
            fold_jaw_mm,
            tip_gap_mm,
            ..Size::on_mandrel(mandrel)
        },
    )
}

fn any_design() -> impl Strategy<Value = Design> {
    let sizes = proptest::collection::vec(any_size(), 1..=12);
    // Letters that are not seen are left out in reading (`documents::json`).
    let (name, notes) = ("\\PC{0,100}", "[\\PC\n\t]{0,500}");
    (any_wire(), sizes, name, notes, 0..6_usize, any::<bool>()).prop_map(
        |(wire, sizes, name, notes, weave, sprung)| {
            let mut design = Design { wire, sizes, name, notes, ..Design::plain(1.0, 12.0) };
            design.weave = WeaveChoice::ALL[weave];
            if sprung {
                design.metal.id = "copper".into();
                design.metal.shapes = Shapes::AfterSpringback;
                design.metal.anneal_before = vec![AnnealBefore::Fold];
                design.metal.seam_share = Some(0.1);
            }
            design
        },
    )
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(128))]

    #[test]
    fn a_design_comes_out_of_its_link_as_it_went_in(design in any_design()) {
        let link = share::fragment(&design).unwrap();
        prop_assert_eq!(share::design(&link).unwrap(), design);
    }

    #[test]
    fn no_text_after_the_hash_does_harm(text in "(design\\.1\\.)?[A-Za-z0-9_.%-]{0,200}") {
        let refused = matches!(share::design(&text), Err(LinkError::Foreign
            | LinkError::Version { .. } | LinkError::Damaged { .. }));
        prop_assert!(refused, "{}", text);
    }
}

/// Base64url by `data-encoding`, CRC-32 by `crc32fast`, deflate by `zlib-rs` through `flate2`:
/// none of them is what writes the link.
#[test]
fn a_link_is_read_by_unrelated_programs() {
    let example = include_str!("../www/examples/swelling-necklace.json");
    let design = Design::parse(example).unwrap();
    let link = share::fragment(&design).unwrap();
    let letters = link.strip_prefix("design.1.").unwrap();
    let bytes = data_encoding::BASE64URL_NOPAD.decode(letters.as_bytes()).unwrap();
    let (check, small) = bytes.split_at(4);
    assert_eq!(check, crc32fast::hash(small).to_le_bytes());
    let mut text = String::new();
    flate2::read::DeflateDecoder::new(small).read_to_string(&mut text).unwrap();
    assert_eq!(Design::parse(&text).unwrap(), design);
}
