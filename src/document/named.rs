//! A small map from names to what they stand for, in the order of the names.

/// Values by name. A job holds a few dozen, so a sorted list serves, and costs the page a fraction of a tree's code.
#[derive(Clone, Debug, PartialEq)]
pub struct Named<T>(Vec<(String, T)>);

impl<T> Default for Named<T> {
    fn default() -> Self {
        Self(Vec::new())
    }
}

impl<T> Named<T> {
    fn find(&self, name: &str) -> Result<usize, usize> {
        self.0
            .binary_search_by(|(known, _)| known.as_str().cmp(name))
    }

    /// What a name stands for.
    pub fn get(&self, name: &str) -> Option<&T> {
        self.find(name)
            .ok()
            .and_then(|index| self.0.get(index))
            .map(|(_, value)| value)
    }

    /// What a name stands for, to be changed.
    pub fn get_mut(&mut self, name: &str) -> Option<&mut T> {
        let index = self.find(name).ok()?;
        self.0.get_mut(index).map(|(_, value)| value)
    }

    /// Lets a name stand for a value.
    pub fn insert(&mut self, name: String, value: T) {
        match self.find(&name) {
            Ok(index) => {
                if let Some((_, place)) = self.0.get_mut(index) {
                    *place = value;
                }
            }
            Err(index) => self.0.insert(index, (name, value)),
        }
    }

    /// What a name stands for, to be changed; nothing yet if it stood for nothing.
    pub fn place(&mut self, name: &str) -> &mut T
    where
        T: Default,
    {
        let index = match self.find(name) {
            Ok(index) => index,
            Err(index) => {
                self.0.insert(index, (name.to_owned(), T::default()));
                index
            }
        };
        &mut self.0[index].1
    }

    /// Takes a name out, with what it stood for.
    pub fn remove(&mut self, name: &str) -> Option<T> {
        let index = self.find(name).ok()?;
        Some(self.0.remove(index).1)
    }

    /// Whether there are none.
    pub fn is_empty(&self) -> bool {
        self.0.is_empty()
    }

    /// How many there are.
    pub fn len(&self) -> usize {
        self.0.len()
    }

    /// Names and values in the order of the names.
    pub fn iter(&self) -> impl Iterator<Item = (&str, &T)> {
        self.0.iter().map(|(name, value)| (name.as_str(), value))
    }
}

impl<T> IntoIterator for Named<T> {
    type Item = (String, T);
    type IntoIter = std::vec::IntoIter<(String, T)>;

    fn into_iter(self) -> Self::IntoIter {
        self.0.into_iter()
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
