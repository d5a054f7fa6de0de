pub(crate) mod facts;
pub(crate) mod state;
