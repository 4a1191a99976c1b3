"""Findings in; text, Markdown, JSON or CSV out."""
