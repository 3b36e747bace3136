"""The interview: which question comes next and what an answer means, apart from any screen."""
