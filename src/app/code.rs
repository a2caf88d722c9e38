//! Packed documents to links and codes, and back. The browser itself deflates and inflates, so that the page need not bring code for it.

use super::DEMO;
use super::device;
use super::route::Route;
use super::store::Store;
use crate::document::{KitCard, Letter, LinkError, fingerprint, load_own_kit_card};
use crate::drawing::QrDrawing;

/// Deflates what was packed; where the browser cannot, it goes as it is.
pub fn letter(packed: Vec<u8>, told: impl FnOnce(Letter) + 'static) {
    device::deflate(&packed.clone(), move |deflated| {
        told(Letter {
            deflated: deflated.is_some(),
            bytes: deflated.unwrap_or(packed),
        });
    });
}

/// What was packed into a link.
pub fn unfolded(link: &str, told: impl FnOnce(Result<Vec<u8>, LinkError>) + 'static) {
    match Letter::read(link) {
        Ok(Letter {
            deflated: true,
            bytes,
        }) => device::inflate(&bytes, told),
        Ok(letter) => told(Ok(letter.bytes)),
        Err(error) => told(Err(error)),
    }
}

/// The whole address that opens what stands in a link or a code.
pub fn address(store: Store, link: String) -> String {
    device::full(&Route::Came(link).href(store.here))
}

/// The code that opens a letter; none where it is larger than any code.
pub fn code(store: Store, letter: &Letter) -> Option<QrDrawing> {
    QrDrawing::of(&address(store, letter.to_digits()))
}

/// The kit card of this fingerprint, if it comes with the page.
pub fn page_card(store: Store, wanted: u64, told: Box<dyn FnOnce(Option<KitCard>)>) {
    among(
        store,
        wanted,
        DEMO.map(|(address, _)| address).to_vec(),
        told,
    );
}

fn among(
    store: Store,
    wanted: u64,
    mut left: Vec<&'static str>,
    told: Box<dyn FnOnce(Option<KitCard>)>,
) {
    let Some(address) = left.pop() else {
        return told(None);
    };
    device::fetch(
        &format!("{}{address}", store.here.home()),
        Box::new(move |text| {
            let card = text.and_then(|text| load_own_kit_card(&text).ok());
            match card.filter(|card| fingerprint(card) == wanted) {
                Some(card) => told(Some(card)),
                None => among(store, wanted, left, told),
            }
        }),
    );
}
