"""How long a lesson takes to read: the words on the screen once all its cells have run, 200 a minute.

Counted are prose, tables, sentences of benches, questions, cautions, labels and buttons, the words in drawings, and
the folded answers to the prompts. Other folds are for looking things up – sources, glossary, seldom-used settings,
past progress – and are not.
"""

from html.parser import HTMLParser

WORDS_A_MINUTE = 200
UNSEEN = ("style", "script", "title", "desc")  # of HTML and of drawings
STATE = "application/vnd.jupyter.widget-state+json"
VIEW = "application/vnd.jupyter.widget-view+json"


class _Seen(HTMLParser):
    def __init__(self, folds):
        super().__init__()
        self.inside, self.folds, self.words = {}, folds, 0

    def handle_starttag(self, tag, attrs):
        self.inside[tag] = self.inside.get(tag, 0) + 1

    def handle_endtag(self, tag):
        self.inside[tag] = self.inside.get(tag, 0) - 1

    def handle_data(self, data):
        folded = self.inside.get("details", 0) > self.inside.get("summary", 0) and not self.folds
        if not folded and not any(self.inside.get(tag, 0) for tag in UNSEEN):
            self.words += sum(any(sign.isalnum() for sign in word) for word in data.split())


def seen(markup, folds=False):
    """How many words of a piece of HTML are seen, with what is folded or without."""
    reader = _Seen(folds)
    reader.feed(markup)
    return reader.words


def of_widget(model, models):
    """The words of a widget and of all in it; what is not displayed has none."""
    state = models[model]["state"]
    layout = models.get(state.get("layout", "").removeprefix("IPY_MODEL_"), {"state": {}})["state"]
    if layout.get("display") == "none":
        return 0
    kind, chosen = state.get("_model_name"), state.get("index")
    parts = [state.get("description") or "", state.get("placeholder") or ""]
    if kind in ("RadioButtonsModel", "ToggleButtonsModel"):
        parts += state["_options_labels"]
    elif kind == "DropdownModel" and chosen is not None:
        parts.append(state["_options_labels"][chosen])
    elif isinstance(state.get("value"), str):
        parts.append(state["value"])
    if kind == "AccordionModel":  # its titles are shown, what is in it opens
        return sum(seen(title) for title in state.get("titles", ()))
    inside = (child.removeprefix("IPY_MODEL_") for child in state.get("children", ()))
    return sum(seen(part) for part in parts) + sum(of_widget(child, models) for child in inside)


def words(notebook):
    """The words of a notebook that was run with the state of its widgets kept."""
    models = notebook.metadata.get("widgets", {}).get(STATE, {}).get("state", {})
    count = 0
    for cell in notebook.cells:
        if cell.cell_type == "markdown":
            count += seen(cell.source, folds=True)
        for output in cell.get("outputs", ()):
            data = output.get("data", {})
            if VIEW in data:
                count += of_widget(data[VIEW]["model_id"], models)
            elif "text/html" in data:
                count += seen(data["text/html"])
    return count


def minutes(notebook):
    return words(notebook) / WORDS_A_MINUTE
