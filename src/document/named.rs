//! A small map from names to what they stand for, in the order of the names.

/// Values by name. A job holds a few dozen, so a sorted list serves, and costs the page a fraction of a tree's code.
#[derive(Clone, Debug, PartialEq)]
pub struct Named<T> {
    /// In order, each once.
    names: Vec<String>,
    /// What each name stands for, in the order of the names.
    values: Vec<T>,
}

impl<T> Default for Named<T> {
    fn default() -> Self {
        Self {
            names: Vec::new(),
            values: Vec::new(),
        }
    }
}

/// Where a name is, or where it belongs. It is here apart from the values so that it is in the page once.
#[inline(never)]
fn find(names: &[String], name: &str) -> Result<usize, usize> {
    names.binary_search_by(|known| known.as_str().cmp(name))
}

impl<T> Named<T> {
    /// What a name stands for.
    pub fn get(&self, name: &str) -> Option<&T> {
        self.values.get(find(&self.names, name).ok()?)
    }

    /// What a name stands for, to be changed.
    pub fn get_mut(&mut self, name: &str) -> Option<&mut T> {
        self.values.get_mut(find(&self.names, name).ok()?)
    }

    /// Lets a name stand for a value.
    pub fn insert(&mut self, name: String, value: T) {
        match find(&self.names, &name) {
            Ok(index) => {
                if let Some(place) = self.values.get_mut(index) {
                    *place = value;
                }
            }
            Err(index) => {
                self.names.insert(index, name);
                self.values.insert(index, value);
            }
        }
    }

    /// What a name stands for, to be changed; nothing yet if it stood for nothing.
    pub fn place(&mut self, name: &str) -> &mut T
    where
        T: Default,
    {
        let index = match find(&self.names, name) {
            Ok(index) => index,
            Err(index) => {
                self.names.insert(index, name.to_owned());
                self.values.insert(index, T::default());
                index
            }
        };
        &mut self.values[index]
    }

    /// Takes a name out, with what it stood for.
    pub fn remove(&mut self, name: &str) -> Option<T> {
        let index = find(&self.names, name).ok()?;
        self.names.remove(index);
        Some(self.values.remove(index))
    }

    /// The place of a name in their order.
    pub fn place_of(&self, name: &str) -> Option<usize> {
        find(&self.names, name).ok()
    }

    /// The name at a place in their order.
    pub fn name_at(&self, place: usize) -> Option<&str> {
        self.names.get(place).map(String::as_str)
    }

    /// Whether there are none.
    pub fn is_empty(&self) -> bool {
        self.names.is_empty()
    }

    /// How many there are.
    pub fn len(&self) -> usize {
        self.names.len()
    }

    /// Names and values in the order of the names.
    pub fn iter(&self) -> impl Iterator<Item = (&str, &T)> {
        self.names.iter().map(String::as_str).zip(&self.values)
    }
}

impl<T> IntoIterator for Named<T> {
    type Item = (String, T);
    type IntoIter = std::iter::Zip<std::vec::IntoIter<String>, std::vec::IntoIter<T>>;

    fn into_iter(self) -> Self::IntoIter {
        self.names.into_iter().zip(self.values)
    }
}

impl<T> FromIterator<(String, T)> for Named<T> {
    fn from_iter<I: IntoIterator<Item = (String, T)>>(values: I) -> Self {
        let mut named = Self::default();
        for (name, value) in values {
            named.insert(name, value);
        }
        named
    }
}

impl<T: serde::Serialize> serde::Serialize for Named<T> {
    fn serialize<S: serde::Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_map(self.iter())
    }
}

#[cfg(not(target_arch = "wasm32"))]
impl<T: schemars::JsonSchema> schemars::JsonSchema for Named<T> {
    fn schema_name() -> std::borrow::Cow<'static, str> {
        format!("Named{}", T::schema_name()).into()
    }

    fn inline_schema() -> bool {
        true
    }

    fn json_schema(generator: &mut schemars::SchemaGenerator) -> schemars::Schema {
        std::collections::BTreeMap::<String, T>::json_schema(generator)
    }
}
