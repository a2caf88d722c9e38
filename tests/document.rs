//! Documents: the envelope, the demo cards, bad input, migrations, the published schema.

use halfturn::document::{load_kit_card};

#[test]
fn demo_cards_load() {
    for name in ["rear", "front"] {
        let text = std::fs::read_to_string(format!("public/cards/{name}.json")).unwrap();
        let card = load_kit_card(&text).unwrap_or_else(|error| panic!("{name}: {error}"));
        assert!(card.all_steps().count() >= 30);
    }
}
