"""Workflow: the verbs, each joining core, formats and store."""
