"""Nouns of the sling: what it is made of and how it is used. Imports nothing above it."""

from slingwright.sling.spec import Fibre, Form, Hitch, SlingSpec
from slingwright.sling.webbing import Webbing

__all__ = ["Fibre", "Form", "Hitch", "SlingSpec", "Webbing"]
