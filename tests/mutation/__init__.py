"""Mutation testing: small faults put into the laws, one at a time; the tests should see each."""
