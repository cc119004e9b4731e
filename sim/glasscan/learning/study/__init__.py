"""Self-study: what to do today, one question after another, and what the answers say of the learner."""
