"""What is entered in theatre, as events of the store and back; the surgeon's template as a file."""

from cuffwright.exchange.theatre.entries import KINDS, entry_from_plain, entry_to_plain, kept
from cuffwright.exchange.theatre.template_file import open_template, usual_template

__all__ = ["KINDS", "entry_from_plain", "entry_to_plain", "kept", "open_template", "usual_template"]
