//! Values that are set, and that others follow.

use reactive_graph::{signal, traits::*};
use std::any::Any;
use std::marker::PhantomData;
use wasm_bindgen::UnwrapThrowExt;

type Value = Box<dyn Any + Send + Sync>;
type Node = signal::RwSignal<Value>;

/// Leptos' `RwSignal`, with one type of node in the graph for all values, as [`super::dom::Derived`].
pub struct RwSignal<T> {
    node: Node,
    kind: PhantomData<fn() -> T>,
}

impl<T> Clone for RwSignal<T> {
    fn clone(&self) -> Self {
        *self
    }
}

impl<T> Copy for RwSignal<T> {}

impl<T: Send + Sync + 'static> RwSignal<T> {
    /// A signal of this value.
    pub fn new(value: T) -> Self {
        Self {
            node: Node::new(Box::new(value)),
            kind: PhantomData,
        }
    }

    /// Looks at the value.
    pub fn with<U>(&self, look: impl FnOnce(&T) -> U) -> U {
        self.track();
        self.with_untracked(look)
    }

    /// Looks at the value without following it.
    pub fn with_untracked<U>(&self, look: impl FnOnce(&T) -> U) -> U {
        fn see(node: Node, look: &mut dyn FnMut(&dyn Any)) {
            node.with_untracked(|value| look(&**value));
        }
        let (mut look, mut seen) = (Some(look), None);
        see(self.node, &mut |value| {
            // It is always of this type, and looked at once.
            seen = value
                .downcast_ref()
                .zip(look.take())
                .map(|(value, look)| look(value));
        });
        seen.unwrap_throw()
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

    /// Whether what made it was left, so that it may not be touched.
    pub fn is_gone(&self) -> bool {
        self.node.is_disposed()
    }

    /// Follows it without looking.
    pub fn track(&self) {
        self.node.track();
    }

    /// Takes another value.
    pub fn set(&self, value: T) {
        fn put(node: Node, value: Value) {
            node.set(value);
        }
        put(self.node, Box::new(value));
    }

    /// Changes the value.
    pub fn update(&self, change: impl FnOnce(&mut T)) {
        fn alter(node: Node, change: &mut dyn FnMut(&mut dyn Any)) {
            node.update(|value| change(&mut **value));
        }
        let mut change = Some(change);
        alter(self.node, &mut |value| {
            if let Some((value, change)) = value.downcast_mut().zip(change.take()) {
                change(value);
            }
        });
    }
}
