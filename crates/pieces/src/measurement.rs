//! The measurements that drafts ask for: their names, where the name comes from, how to take them.
