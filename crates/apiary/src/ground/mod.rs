pub(crate) mod facts;
