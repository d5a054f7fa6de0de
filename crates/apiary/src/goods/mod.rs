//! Salves, balms and other goods made after a recipe.

pub(crate) mod facts;
pub mod state;
