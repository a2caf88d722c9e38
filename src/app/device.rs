//! What the browser can do for us: storage, files, clock, printer, clipboard. The only place that touches them.

use crate::document::{LinkError, MAX_BYTES, Moment};
use gloo::utils::{document, window};
use js_sys::{Array, Function, Promise, Reflect, Uint8Array};
use std::cell::{Cell, RefCell};
use std::collections::VecDeque;
use wasm_bindgen::{JsCast, JsValue};
use wasm_bindgen_futures::{JsFuture, spawn_local};
use web_sys::{
    Blob, File, FilePropertyBag, HtmlAnchorElement, ReadableStreamDefaultReader, Response,
    ShareData, Storage, Url,
};

/// Milliseconds since 1970 by the device's clock.
pub fn now() -> Moment {
    // Whole milliseconds since 1970 fit; a clock set before that reads as 1970.
    js_sys::Date::now() as Moment
}

/// A moment as local date and time, or as a date alone.
pub fn local_time(moment: Moment, with_time: bool) -> String {
    // A clock can be wrong by any amount; no date is later than this (ECMA-262, "Time Values and Time Range").
    let moment = moment.min(8_640_000_000_000_000);
    let date = js_sys::Date::new(&JsValue::from_f64(moment as f64));
    let day = format!(
        "{}-{:02}-{:02}",
        date.get_full_year(),
        date.get_month() + 1,
        date.get_date()
    );
    if with_time {
        format!("{day} {:02}:{:02}", date.get_hours(), date.get_minutes())
    } else {
        day
    }
}

fn storage() -> Option<Storage> {
    // Merely asking for the storage throws where it is switched off.
    window().local_storage().ok().flatten()
}

/// Why something could not be kept on this device.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum StoreError {
    /// The browser has storage switched off.
    Off,
    /// The storage is full, or refuses.
    Full,
    /// Another page or tab has stored something that cannot be read here.
    Strange,
}

/// Every stored key that begins so.
pub fn stored_keys(prefix: &str) -> Result<Vec<String>, StoreError> {
    let storage = storage().ok_or(StoreError::Off)?;
    let count = storage.length().map_err(|_| StoreError::Off)?;
    let keys = (0..count).filter_map(|index| storage.key(index).ok().flatten());
    Ok(keys.filter(|key| key.starts_with(prefix)).collect())
}

/// Every key that begins so, with the text stored under it; nothing where nothing can be read.
pub fn stored_below(prefix: &str) -> Vec<(String, String)> {
    let keys = stored_keys(prefix).unwrap_or_default().into_iter();
    keys.filter_map(|key| {
        let text = stored(&key).ok().flatten()?;
        Some((key, text))
    })
    .collect()
}

/// The text stored under a key, if there is any.
pub fn stored(key: &str) -> Result<Option<String>, StoreError> {
    storage()
        .ok_or(StoreError::Off)?
        .get_item(key)
        .map_err(|_| StoreError::Off)
}

/// Stores a text and reads it back.
pub fn store(key: &str, text: &str) -> Result<(), StoreError> {
    let storage = storage().ok_or(StoreError::Off)?;
    storage.set_item(key, text).map_err(|_| StoreError::Full)?;
    match storage.get_item(key) {
        Ok(Some(kept)) if kept == text => Ok(()),
        _ => Err(StoreError::Full),
    }
}

/// What an event of the storage tells: the key, what stood there before, and what stands there now.
pub fn stored_elsewhere(event: &JsValue) -> [String; 3] {
    ["key", "oldValue", "newValue"].map(|name| {
        let value = js_sys::Reflect::get(event, &name.into()).ok();
        value
            .and_then(|value| value.as_string())
            .unwrap_or_default()
    })
}

/// Removes what is stored under a key.
pub fn remove(key: &str) {
    if let Some(storage) = storage() {
        // A removal that fails leaves the text, which is listed again at the next visit.
        let _ = storage.remove_item(key);
    }
}

/// Offers a text as a file to save.
pub fn save_file(name: &str, text: &str) {
    let parts = Array::of1(&JsValue::from_str(text));
    let Ok(blob) = Blob::new_with_str_sequence(&parts) else {
        return;
    };
    let Ok(url) = Url::create_object_url_with_blob(&blob) else {
        return;
    };
    if let Ok(element) = document().create_element("a")
        && let Ok(anchor) = element.dyn_into::<HtmlAnchorElement>()
    {
        anchor.set_href(&url);
        anchor.set_download(name);
        anchor.click();
    }
    // The browser has taken the address over by the next turn of its loop.
    after(10_000, move || {
        let _ = Url::revoke_object_url(&url);
    });
}

/// Opens the print dialogue.
pub fn print() {
    let _ = window().print();
}

/// What becomes of a promise of text, told once.
type Told = Box<dyn FnOnce(Option<String>)>;

async fn text_of(promise: Promise) -> Option<String> {
    JsFuture::from(promise).await.ok()?.as_string()
}

/// Fetches a text of the page's own folder.
pub fn fetch(address: &str, told: Told) {
    let request = window().fetch_with_str(address);
    spawn_local(async move {
        let text = async {
            let response: Response = JsFuture::from(request).await.ok()?.unchecked_into();
            if response.ok() {
                text_of(response.text().ok()?).await
            } else {
                None
            }
        };
        told(text.await);
    });
}

/// Reads a file as text.
pub fn read_file(file: &File, told: Told) {
    let promise = file.text();
    spawn_local(async move { told(text_of(promise).await) });
}

/// Copies a text, and tells whether that went well.
pub fn copy(text: &str, told: impl FnOnce(bool) + 'static) {
    let clipboard = Reflect::get(&window().navigator(), &"clipboard".into())
        .ok()
        .filter(|clipboard| !clipboard.is_undefined());
    let Some(clipboard) = clipboard else {
        return told(false);
    };
    let promise = clipboard
        .unchecked_into::<web_sys::Clipboard>()
        .write_text(text);
    spawn_local(async move { told(JsFuture::from(promise).await.is_ok()) });
}

/// Deflates bytes (RFC 1951) and tells them; nothing where the browser cannot.
pub fn deflate(bytes: &[u8], told: impl FnOnce(Option<Vec<u8>>) + 'static) {
    let read = read_through("CompressionStream", bytes);
    spawn_local(async move { told(read.await.and_then(Result::ok)) });
}

/// Inflates bytes (RFC 1951), no more of them than a document has.
///
/// The browser may be too old, and the bytes may be none that were deflated.
pub fn inflate(bytes: &[u8], told: impl FnOnce(Result<Vec<u8>, LinkError>) + 'static) {
    let read = read_through("DecompressionStream", bytes);
    spawn_local(async move { told(read.await.unwrap_or(Err(LinkError::NoInflate))) });
}

/// What comes of bytes that run through a stream of the browser's, counted as it comes; nothing where it has no such stream.
fn read_through(
    stream: &str,
    bytes: &[u8],
) -> impl Future<Output = Option<Result<Vec<u8>, LinkError>>> + 'static {
    let made = || {
        let stream: Function = Reflect::get(&window(), &stream.into())
            .ok()?
            .dyn_into()
            .ok()?;
        // Older ones do not know the raw form, and throw.
        let stream = Reflect::construct(&stream, &Array::of1(&"deflate-raw".into())).ok()?;
        let parts = Array::of1(&Uint8Array::from(bytes));
        let blob = Blob::new_with_u8_array_sequence(&parts).ok()?;
        let through = blob.stream().pipe_through(stream.unchecked_ref());
        Some(
            through
                .get_reader()
                .unchecked_into::<ReadableStreamDefaultReader>(),
        )
    };
    let reader = made();
    async move {
        let reader = reader?;
        let mut read = Vec::new();
        loop {
            let Ok(piece) = JsFuture::from(reader.read()).await else {
                return Some(Err(LinkError::Changed));
            };
            let piece = Reflect::get(&piece, &"value".into()).ok()?;
            let Ok(piece) = piece.dyn_into::<Uint8Array>() else {
                return Some(Ok(read));
            };
            if read.len() + piece.length() as usize > MAX_BYTES {
                let _ = JsFuture::from(reader.cancel()).await;
                return Some(Err(LinkError::TooLarge));
            }
            read.extend(piece.to_vec());
        }
    }
}

/// Whether the browser hands things to other programs.
pub fn shares() -> bool {
    Reflect::has(&window().navigator(), &"share".into()).unwrap_or(false)
}

/// Hands a link to another program, and tells whether that went well.
pub fn share_link(title: &str, url: &str, told: impl FnOnce(bool) + 'static) {
    let data = ShareData::new();
    data.set_title(title);
    data.set_url(url);
    share(data, told);
}

/// Hands a text as a file to another program, and tells whether that went well. Files of JSON are not let through, texts are.
pub fn share_file(name: &str, text: &str, told: impl FnOnce(bool) + 'static) {
    let kind = FilePropertyBag::new();
    kind.set_type("text/plain");
    let parts = Array::of1(&JsValue::from_str(text));
    let file = File::new_with_str_sequence_and_options(&parts, &format!("{name}.txt"), &kind);
    let Ok(file) = file else {
        return told(false);
    };
    let data = ShareData::new();
    data.set_files(&Array::of1(&file));
    share(data, told);
}

fn share(data: ShareData, told: impl FnOnce(bool) + 'static) {
    let promise = window().navigator().share_with_data(&data);
    spawn_local(async move { told(JsFuture::from(promise).await.is_ok()) });
}

/// A link of this page as it is written elsewhere.
pub fn full(href: &str) -> String {
    let here = window().location().href().unwrap_or_default();
    Url::new_with_base(href, &here).map_or_else(|_| href.to_owned(), |url| url.href())
}

/// The part of the address after `#`.
pub fn hash() -> String {
    window().location().hash().unwrap_or_default()
}

/// A text as it may stand in an address.
pub fn encoded(text: &str) -> String {
    js_sys::encode_uri_component(text).into()
}

/// A text out of an address; as it stands there where it was not written by [`encoded`].
pub fn decoded(text: &str) -> String {
    js_sys::decode_uri_component(text).map_or_else(|_| text.to_owned(), Into::into)
}

/// Goes to another address.
pub fn go(href: &str) {
    let _ = window().location().set_href(href);
}

/// Goes to another address, to which the way back leads no longer here.
pub fn go_instead(href: &str) {
    let _ = window().location().replace(href);
}

/// Gives the window something to hold for the next of our pages: it keeps it where storage does not.
pub fn carry(text: &str) {
    let _ = window().set_name(text);
}

/// Empties the window's hands where it comes from another site, whose gift is not to be trusted. Every page of ours asks first of all, since one
/// may lead to another at once.
pub fn drop_strange() {
    let own = window().location().origin().unwrap_or_default();
    let before = document().referrer();
    if own.is_empty()
        || before
            .strip_prefix(&*own)
            .is_none_or(|rest| !rest.starts_with('/'))
    {
        carry("");
    }
}

/// Whether the person came here just now by a link of another page of ours: not by a reload, and not by the way back.
pub fn arrives() -> bool {
    let Ok(history) = window().history() else {
        return false;
    };
    let first = history.state().is_ok_and(|state| state.is_null());
    let _ = history.replace_state(&JsValue::TRUE, "");
    first && !document().referrer().is_empty()
}

/// What the window holds.
pub fn given() -> String {
    window().name().unwrap_or_default()
}

/// Whether the page is hidden: the moment after which it may never run again.
pub fn hidden() -> bool {
    document().hidden()
}

/// Sets an attribute of the root element, such as the theme.
pub fn set_root_attribute(name: &str, value: &str) {
    if let Some(root) = document().document_element() {
        let _ = root.set_attribute(name, value);
    }
}

/// Removes the skeleton that stood in for the page.
pub fn remove_skeleton() {
    if let Some(skeleton) = document().get_element_by_id("skeleton") {
        skeleton.remove();
    }
}

/// Moves keyboard focus to an element, and shows it; tells whether there is one.
pub fn focus(id: &str) -> bool {
    let element = document()
        .get_element_by_id(id)
        .and_then(|element| element.dyn_into::<web_sys::HtmlElement>().ok());
    element.is_some_and(|element| element.focus().is_ok())
}

/// Moves keyboard focus to the top of a page that is being changed, and shows it, once the change is there.
pub fn to_top_soon() {
    let to_top = || {
        window().scroll_to_with_x_and_y(0.0, 0.0);
        if let Some(element) = document().get_element_by_id("top") {
            let _ = element.unchecked_into::<web_sys::HtmlElement>().focus();
        }
    };
    soon(to_top);
}

thread_local! {
    /// What waits to be run, each after the paint that follows the one before it, and whether somebody sees to it.
    static TO_RUN: RefCell<VecDeque<Box<dyn FnOnce()>>> = const { RefCell::new(VecDeque::new()) };
    static IS_SEEN_TO: Cell<bool> = const { Cell::new(false) };
}

/// Runs something in a task after the page was painted with all that was asked for before it. What it asks for in turn comes before what already waits. A page that
/// is hidden is not painted.
pub fn once_painted(run: Box<dyn FnOnce()>) {
    TO_RUN.with_borrow_mut(|to_run| to_run.push_back(run));
    if !IS_SEEN_TO.replace(true) {
        spawn_local(async {
            while TO_RUN.with_borrow(|to_run| !to_run.is_empty()) {
                if !hidden() {
                    next_frame().await;
                }
                next_task().await;
                let mut later = TO_RUN.take();
                if let Some(run) = later.pop_front() {
                    run();
                }
                TO_RUN.with_borrow_mut(|to_run| to_run.append(&mut later));
            }
            IS_SEEN_TO.set(false);
        });
    }
}

/// Waits for the browser to be about to paint.
async fn next_frame() {
    let frame = Promise::new(&mut |resolve, _| {
        let _ = window().request_animation_frame(&resolve);
    });
    let _ = JsFuture::from(frame).await;
}

/// Waits for a task of the browser's after this one and after what was asked for before it.
pub fn next_task() -> impl Future<Output = ()> {
    // It is asked for here, and not only once it is waited for.
    let task = Promise::new(&mut |resolve, _| {
        let _ = window().set_timeout_with_callback(&resolve);
    });
    let task = JsFuture::from(task);
    async {
        let _ = task.await;
    }
}

/// Runs something in such a task.
pub fn soon(run: impl FnOnce() + 'static) {
    after(0, run);
}

/// Runs something after so many milliseconds.
pub fn after(milliseconds: u32, run: impl FnOnce() + 'static) {
    // One kind of callback for all: each kind costs the page some code.
    let run: Box<dyn FnOnce()> = Box::new(run);
    gloo::timers::callback::Timeout::new(milliseconds, run).forget();
}
