"""Law: categories of spirit drinks and the strength below which they must be distilled, as dated data files.

Takes: a category's id, such as "eu-fruit-spirit". Gives: its figures with clause, date and status. Never: sees a still,
decides whether a spirit is lawful, or replaces the text of the law.
"""

from middlerun.law.category import Category, category, category_ids

__all__ = ["Category", "category", "category_ids"]
