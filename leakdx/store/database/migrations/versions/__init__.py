"""One module for each version of the tables; a module that was released is never changed."""
