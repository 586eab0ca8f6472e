"""Formats: documents in and out, each versioned."""
