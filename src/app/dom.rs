//! Elements, built by plain calls and kept alive by Leptos' reactive graph.
//!
//! A page of this size written with `view!` gives every view a type of its own, and the code for those types is several times the
//! first-load budget. Here an element is one type whatever it holds, a closure is boxed once, and what changes is an effect of the
//! reactive graph, owned and cleaned up as Leptos does it.

use super::device;
use super::signal::RwSignal;
use reactive_graph::{
    computed::Memo,
    effect::RenderEffect,
    owner::{Owner, StoredValue, on_cleanup},
    traits::*,
};
use std::any::Any;
use std::cell::{Cell, RefCell};
use std::marker::PhantomData;
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};

use wasm_bindgen::closure::Closure;
use wasm_bindgen::{JsCast, UnwrapThrowExt};
use web_sys::{Document, Element, Event, EventTarget, HtmlElement, HtmlInputElement};

const SVG: &str = "http://www.w3.org/2000/svg";

/// A closure that is asked for something, boxed. `dyn Fn` brings along the code of `FnMut` and `FnOnce` for each closure, which nothing calls.
pub trait Ask<T> {
    /// What it says.
    fn ask(&self) -> T;
}

impl<T, F: Fn() -> T> Ask<T> for F {
    fn ask(&self) -> T {
        self()
    }
}

/// A closure that is told something, boxed, as [`Ask`].
trait Tell<T> {
    fn tell(&self, what: T);
}

impl<T, F: Fn(T)> Tell<T> for F {
    fn tell(&self, what: T) {
        self(what);
    }
}

/// An element of the page.
#[derive(Clone)]
pub struct El(Element);

thread_local! {
    // Asking for it goes by way of the window, with each element again.
    static DOCUMENT: Document = gloo::utils::document();
}

/// An element.
#[inline(never)]
pub fn el(tag: &str) -> El {
    // Only a tag that is not a name fails, and tags stand in this code alone.
    El(DOCUMENT
        .with(|page| page.create_element(tag))
        .unwrap_throw())
}

/// A `div` of a class.
#[inline(never)]
pub fn div(class: &str) -> El {
    el("div").class(class)
}

/// A paragraph.
#[inline(never)]
pub fn p(text: &str) -> El {
    el("p").text(text)
}

/// What is made once all before it was painted, so that a long page comes in pieces between which the browser can answer. Until then its place says that it is busy.
pub fn later(content: impl FnOnce() -> El + 'static) -> El {
    let place = div("stack").attr("aria-busy", "true");
    let filled = place.clone();
    once_painted(Box::new(move || {
        filled.set("aria-busy", None);
        filled.child(content());
    }));
    place
}

/// Runs something once all before it was painted, unless what it follows is gone by then, for the page has changed.
fn once_painted(run: Box<dyn FnOnce()>) {
    let owner = Owner::current();
    let gone = Arc::new(AtomicBool::new(false));
    let seen = gone.clone();
    on_cleanup(move || seen.store(true, Ordering::Relaxed));
    device::once_painted(Box::new(move || {
        if let Some(owner) = owner
            && !gone.load(Ordering::Relaxed)
        {
            owner.with(run);
        }
    }));
}

/// What stands folded away below a line of words, and is made only once it is unfolded: at once where it is open from the start.
pub fn folded(words: &str, is_open: bool, content: impl FnOnce() -> El + 'static) -> El {
    fn fold(words: &str, is_open: bool, content: Box<dyn FnOnce() -> El>) -> El {
        let details = el("details").class("working");
        if is_open {
            let summary = el("summary").text(words);
            return details.attr("open", "").child(summary).child(content());
        }
        let (owner, content) = (Owner::current(), Cell::new(Some(content)));
        // The key that unfolds it clicks too.
        let summary = el("summary").text(words).on("click", move |event| {
            let summary = event
                .current_target()
                .map(JsCast::unchecked_into::<Element>);
            let details = summary.and_then(|summary| summary.parent_element());
            if let (Some(details), Some(content), Some(owner)) = (details, content.take(), &owner) {
                El(details).child(owner.with(content));
            }
        });
        details.child(summary)
    }
    fold(words, is_open, Box::new(content))
}

/// The same, there while there is something to say: it stays open while that changes.
pub fn folded_while(
    words: &'static str,
    is_known: impl Fn() -> bool + Send + Sync + 'static,
    content: impl Fn() -> El + Clone + 'static,
) -> El {
    let is_known = derived(is_known);
    div("").live(move || match is_known.get() {
        true => vec![folded(words, false, content.clone())],
        false => Vec::new(),
    })
}

/// A button.
pub fn button(text: &str, on_click: impl Fn() + 'static) -> El {
    fn make(text: &str, on_click: Box<dyn Ask<()>>) -> El {
        el("button")
            .attr("type", "button")
            .text(text)
            .on("click", move |_| on_click.ask())
    }
    make(text, Box::new(on_click))
}

/// What happens on an event of the window, as long as the page stands.
pub fn on_window(event: &str, run: impl Fn(Event) + 'static) {
    listen(&gloo::utils::window(), event, Box::new(run));
}

fn listen(target: &EventTarget, event: &str, run: Box<dyn Tell<Event>>) {
    // The browser lets go of it with the target.
    let listener = Closure::<dyn Fn(Event)>::new(move |event| run.tell(event)).into_js_value();
    let _ = target.add_event_listener_with_callback(event, listener.unchecked_ref());
}

/// A small picture from markup of this code's own, hidden from those who do not see it.
pub fn icon(size: &str, view_box: &str, body: &str) -> El {
    let svg = DOCUMENT
        .with(|page| page.create_element_ns(Some(SVG), "svg"))
        .unwrap_throw();
    svg.set_inner_html(body);
    El(svg)
        .attr("width", size)
        .attr("height", size)
        .attr("viewBox", view_box)
        .attr("aria-hidden", "true")
}

const FOCUSABLE: &str = "a,button,input,select,textarea,summary";

/// Which of what can have the focus in an element has it.
fn place_of_focus(element: &Element) -> Option<u32> {
    let active = DOCUMENT.with(Document::active_element)?;
    if !element.contains(Some(&active)) {
        return None;
    }
    let all = element.query_selector_all(FOCUSABLE).ok()?;
    (0..all.length()).find(|place| all.item(*place).as_ref() == Some(&active))
}

/// Gives the focus to what now stands in the place of what had it, so that a person without a pointer goes on from there.
fn focus_at(element: &Element, place: u32) {
    let Ok(all) = element.query_selector_all(FOCUSABLE) else {
        return;
    };
    let place = place.min(all.length().saturating_sub(1));
    match (all.item(place), element.parent_element()) {
        (Some(node), _) => {
            let taken = node.unchecked_into::<HtmlElement>();
            let _ = taken.focus();
            // What is folded away does not take it; what folds it stands before it.
            let active = DOCUMENT.with(Document::active_element);
            if place > 0 && active.as_ref() != Some(taken.as_ref()) {
                focus_at(element, place - 1);
            }
        }
        // All is gone: what is above it, such as the head of a group that has closed.
        (None, Some(parent)) => focus_at(&parent, 0),
        (None, None) => {}
    }
}

/// Runs now, and again when what it reads has changed.
pub fn effect(run: impl Fn() + 'static) {
    fn keep(run: Box<dyn Ask<()>>) {
        let effect = RenderEffect::new(move |_| run.ask());
        StoredValue::new(effect);
    }
    keep(Box::new(run));
}

/// Shows what it sees: now, and again when what it reads has changed and something else is seen in it. All of a job is one signal, so most of what follows a job sees
/// what it saw before, and leaves the page alone.
pub fn show<T: PartialEq + 'static>(see: impl Fn() -> T + 'static, show: impl Fn(&T) + 'static) {
    let shown = RefCell::new(None);
    effect(move || {
        let seen = see();
        if shown.borrow().as_ref() != Some(&seen) {
            show(&seen);
            shown.replace(Some(seen));
        }
    });
}

/// Counts the changes of what is followed, each once all that follows from it at once was painted: for what nobody waits for.
pub fn behind(follow: impl Fn() + 'static) -> RwSignal<u32> {
    let (count, is_first) = (RwSignal::new(0), Cell::new(true));
    effect(move || {
        follow();
        if !is_first.take() {
            once_painted(Box::new(move || count.update(|count| *count += 1)));
        }
    });
    count
}

/// A value that follows what it reads.
///
/// It does what Leptos' `Memo` does, with one type of node in the graph for all values: a memo for each type costs the page more than
/// the values do.
pub struct Derived<T> {
    value: Memo<Value>,
    kind: PhantomData<fn() -> T>,
}

type Value = Arc<dyn Any + Send + Sync>;

impl<T> Clone for Derived<T> {
    fn clone(&self) -> Self {
        *self
    }
}

impl<T> Copy for Derived<T> {}

/// A value that follows what it reads, and tells others when it has become another.
pub fn derived<T: PartialEq + Send + Sync + 'static>(
    compute: impl Fn() -> T + Send + Sync + 'static,
) -> Derived<T> {
    node(Box::new(move |before| {
        let now = compute();
        match before {
            Some(before) if before.downcast_ref() == Some(&now) => (before, false),
            _ => (Arc::new(now), true),
        }
    }))
}

/// A large value that follows what it reads, and tells others whenever that has changed: comparing it would cost the page more than
/// what follows it costs to compute. What must stand still derives a smaller value from it.
pub fn result<T: Send + Sync + 'static>(
    compute: impl Fn() -> T + Send + Sync + 'static,
) -> Derived<T> {
    node(Box::new(move |_| (Arc::new(compute()), true)))
}

/// The value, and whether it is another than before.
type Again = Box<dyn Fn(Option<Value>) -> (Value, bool) + Send + Sync>;

fn node<T>(again: Again) -> Derived<T> {
    Derived {
        value: Memo::new_owning(again),
        kind: PhantomData,
    }
}

impl<T: 'static> Derived<T> {
    /// Looks at the value.
    pub fn with<U>(&self, look: impl FnOnce(&T) -> U) -> U {
        Self::see(&self.value.get(), look)
    }

    /// Looks at the value without following it.
    pub fn with_untracked<U>(&self, look: impl FnOnce(&T) -> U) -> U {
        Self::see(&self.value.get_untracked(), look)
    }

    fn see<U>(value: &Value, look: impl FnOnce(&T) -> U) -> U {
        // It is always of this type.
        look(value.downcast_ref().unwrap_throw())
    }

    /// The value.
    pub fn get(&self) -> T
    where
        T: Clone,
    {
        self.with(T::clone)
    }

    /// The value, without following it.
    pub fn get_untracked(&self) -> T
    where
        T: Clone,
    {
        self.with_untracked(T::clone)
    }

    /// The value itself, without following it.
    pub fn now(&self) -> Arc<T>
    where
        T: Send + Sync,
    {
        // It is always of this type.
        self.value.get_untracked().downcast().unwrap_throw()
    }

    /// Computes it in a task of its own, before what is asked for [`later`] looks at it.
    pub fn first(&self)
    where
        T: Send + Sync,
    {
        let value = *self;
        once_painted(Box::new(move || drop(value.now())));
    }

    /// Follows it without looking.
    pub fn track(&self) {
        // Until it is computed it follows nothing itself.
        self.value.get();
    }
}

impl El {
    /// With a class, or several.
    #[inline(never)]
    pub fn class(self, class: &str) -> Self {
        self.attr("class", class)
    }

    /// With an attribute.
    #[inline(never)]
    pub fn attr(self, name: &str, value: &str) -> Self {
        self.set(name, Some(value));
        self
    }

    /// With a text after what it holds.
    #[inline(never)]
    pub fn text(self, text: &str) -> Self {
        // Appending text to an element of this page cannot fail.
        let _ = self.0.append_with_str_1(text);
        self
    }

    /// Puts an element in place of what it holds.
    pub fn holds(&self, child: El) {
        self.0.replace_children_with_node_1(&child.0);
    }

    /// Puts a text in place of what it holds.
    pub fn say(&self, text: &str) {
        self.0.set_text_content(Some(text));
    }

    /// With a child after what it holds.
    #[inline(never)]
    pub fn child(self, child: El) -> Self {
        let _ = self.0.append_child(&child.0);
        self
    }

    /// With children after what it holds.
    pub fn children(self, children: impl IntoIterator<Item = El>) -> Self {
        children.into_iter().fold(self, Self::child)
    }

    /// With markup as its content. Only for markup that this code wrote: typed text must have been escaped.
    #[inline(never)]
    pub fn markup(self, markup: &str) -> Self {
        self.0.set_inner_html(markup);
        self
    }

    /// With a text that follows what it reads, after what the element holds.
    pub fn live_text(self, text: impl Fn() -> String + 'static) -> Self {
        fn follow(element: &Element, text: Box<dyn Ask<String>>) {
            let node = DOCUMENT.with(|page| page.create_text_node(""));
            let _ = element.append_child(&node);
            show(move || text.ask(), move |text| node.set_data(text));
        }
        follow(&self.0, Box::new(text));
        self
    }

    /// With an attribute that follows what it reads; none takes it away.
    pub fn live_attr(
        self,
        name: &'static str,
        value: impl Fn() -> Option<String> + 'static,
    ) -> Self {
        fn follow(element: El, name: &'static str, value: Box<dyn Ask<Option<String>>>) {
            show(
                move || value.ask(),
                move |value| element.set(name, value.as_deref()),
            );
        }
        follow(self.clone(), name, Box::new(value));
        self
    }

    /// With children that follow what they read, as the whole of its content.
    pub fn live(self, children: impl Fn() -> Vec<El> + 'static) -> Self {
        fn follow(element: Element, children: Box<dyn Ask<Vec<El>>>) {
            effect(move || {
                let nodes = js_sys::Array::new();
                for child in children.ask() {
                    nodes.push(&child.0);
                }
                let place = place_of_focus(&element);
                element.replace_children_with_node(&nodes);
                if let Some(place) = place {
                    focus_at(&element, place);
                }
            });
        }
        follow(self.0.clone(), Box::new(children));
        self
    }

    /// With what happens on an event.
    pub fn on(self, event: &str, run: impl Fn(Event) + 'static) -> Self {
        listen(&self.0, event, Box::new(run));
        self
    }

    /// With what happens when its value is typed or chosen.
    pub fn on_value(self, event: &str, run: impl Fn(String) + 'static) -> Self {
        fn follow(element: &Element, event: &str, run: Box<dyn Tell<String>>) {
            let input: HtmlInputElement = element.clone().unchecked_into();
            listen(element, event, Box::new(move |_| run.tell(input.value())));
        }
        follow(&self.0, event, Box::new(run));
        self
    }

    /// With a value that follows what it reads. What is typed is not touched while it is the same.
    pub fn live_value(self, value: impl Fn() -> String + 'static) -> Self {
        fn follow(input: HtmlInputElement, value: Box<dyn Ask<String>>) {
            effect(move || {
                let value = value.ask();
                if input.value() != value {
                    input.set_value(&value);
                }
            });
        }
        follow(self.input(), Box::new(value));
        self
    }

    /// With a tick that follows what it reads.
    pub fn live_checked(self, checked: impl Fn() -> bool + 'static) -> Self {
        fn follow(input: HtmlInputElement, checked: Box<dyn Ask<bool>>) {
            effect(move || input.set_checked(checked.ask()));
        }
        follow(self.input(), Box::new(checked));
        self
    }

    /// Enabled only while something holds.
    pub fn enabled_when(self, enabled: impl Fn() -> bool + 'static) -> Self {
        self.live_attr("disabled", move || (!enabled()).then(String::new))
    }

    /// As a field. `value` and `checked` mean the same on an input, a text area and a list.
    pub fn input(&self) -> HtmlInputElement {
        self.0.clone().unchecked_into()
    }

    /// Puts it at the end of the page.
    pub fn mount(self) {
        let _ = gloo::utils::body().append_child(&self.0);
    }

    /// Sets an attribute; none takes it away.
    #[inline(never)]
    pub fn set(&self, name: &str, value: Option<&str>) {
        let _ = match value {
            Some(value) => self.0.set_attribute(name, value),
            None => self.0.remove_attribute(name),
        };
    }
}
