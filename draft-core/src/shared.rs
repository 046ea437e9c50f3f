//! A list that drafts share as long as no work changes it.

use std::ops::{Deref, DerefMut};
use std::sync::Arc;

use serde::{Deserialize, Serialize};

/// A list that costs nothing to clone: the clone has a list of its own only from its first change on.
///
/// A garment keeps the state after each of its works, and most works leave most of it as it was.
#[derive(Clone, Debug, Serialize, Deserialize)]
#[serde(transparent)]
pub struct Shared<T>(Arc<Vec<T>>);

impl<T> Shared<T> {
    /// Whether both are one and the same list, which no one has changed since it was cloned.
    pub fn is_same(&self, other: &Self) -> bool {
        Arc::ptr_eq(&self.0, &other.0)
    }
}

/// One and the same list is equal to itself without a look at what is in it.
impl<T: PartialEq> PartialEq for Shared<T> {
    fn eq(&self, other: &Self) -> bool {
        self.is_same(other) || self.0 == other.0
    }
}

impl<T> Default for Shared<T> {
    fn default() -> Self {
        Self(Arc::default())
    }
}

impl<T> From<Vec<T>> for Shared<T> {
    fn from(list: Vec<T>) -> Self {
        Self(Arc::new(list))
    }
}

impl<T> FromIterator<T> for Shared<T> {
    fn from_iter<I: IntoIterator<Item = T>>(items: I) -> Self {
        Self(Arc::new(items.into_iter().collect()))
    }
}

impl<T> Deref for Shared<T> {
    type Target = Vec<T>;

    fn deref(&self) -> &Vec<T> {
        &self.0
    }
}

impl<T: Clone> DerefMut for Shared<T> {
    fn deref_mut(&mut self) -> &mut Vec<T> {
        Arc::make_mut(&mut self.0)
    }
}

impl<'a, T> IntoIterator for &'a Shared<T> {
    type Item = &'a T;
    type IntoIter = std::slice::Iter<'a, T>;

    fn into_iter(self) -> Self::IntoIter {
        self.0.iter()
    }
}

impl<'a, T: Clone> IntoIterator for &'a mut Shared<T> {
    type Item = &'a mut T;
    type IntoIter = std::slice::IterMut<'a, T>;

    fn into_iter(self) -> Self::IntoIter {
        Arc::make_mut(&mut self.0).iter_mut()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_clone_is_apart_from_its_first_change_on() {
        let first: Shared<i32> = vec![1, 2].into();
        let mut second = first.clone();
        assert!(second.is_same(&first));
        second.push(3);
        assert!(!second.is_same(&first));
        assert_eq!((first.len(), second.len()), (2, 3));
    }
}
