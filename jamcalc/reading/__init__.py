"""From a cook's text to nouns: ingredient lines, extras, recipe files; and how a file is read and written whole."""
