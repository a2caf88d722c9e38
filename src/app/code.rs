//! Packed documents to links and codes, and back. The browser itself deflates and inflates, so that the page need not bring code for it.

use super::device;
use super::route::Route;
use super::store::Store;
use crate::document::{Letter, LinkError, NamedCard, OWN_KIT_CARDS, save_job_alone};
use crate::drawing::QrDrawing;

/// Deflates what was packed; where the browser cannot, it goes as it is. It is told in a task of its own.
pub fn letter(packed: Vec<u8>, told: impl FnOnce(Letter) + 'static) {
    device::deflate(&packed.clone(), move |deflated| {
        let letter = Letter {
            deflated: deflated.is_some(),
            bytes: deflated.unwrap_or(packed),
        };
        device::soon(move || told(letter));
    });
}

/// Packs the open job so that it names its kit card, and tells the card's fingerprint with it. Naming the card, writing the job and packing are a task each.
pub fn packed_alone(store: Store, told: impl FnOnce(u64, Vec<u8>) + 'static) {
    let Some(named) = store.peek(|job| Some(NamedCard::of(&job.card))) else {
        return;
    };
    device::soon(move || {
        let Some(saved) = store.peek(|job| Some(save_job_alone(job))) else {
            return;
        };
        device::soon(move || told(named.fingerprint(), named.pack_saved(&saved)));
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

/// Where the kit card of this fingerprint lies, if it comes with the pages.
pub fn own_card(wanted: u64) -> Option<&'static str> {
    let known = |(_, fingerprint): &&(_, u64)| *fingerprint == wanted;
    Some(OWN_KIT_CARDS.iter().find(known)?.0)
}
