"""Limb cards: the phase card and the full list of steps on paper, and how a thread is drawn on paper and screen."""

from cuffwright.exchange.cards.threads import Thread, thread_of
from cuffwright.exchange.cards.write import write_cards

__all__ = ["Thread", "thread_of", "write_cards"]
