"""Parses a page with Python's HTML parser and prints {"tags": {name: count}, "attributes": [names],
"links": [href and src values], "text": text outside of style}, as JSON."""
import json
import sys
from html.parser import HTMLParser


class Page(HTMLParser):
    def __init__(self):
        super().__init__(convert_charrefs=True)
        self.tags, self.attributes, self.links, self.text = {}, set(), [], []
        self.open = []

    def handle_starttag(self, tag, attributes):
        self.tags[tag] = self.tags.get(tag, 0) + 1
        self.open.append(tag)
        for name, value in attributes:
            self.attributes.add(name)
            if name in ("href", "src"):
                self.links.append(value)

    def handle_endtag(self, tag):
        while self.open and self.open.pop() != tag:
            pass

    def handle_data(self, data):
        if "style" not in self.open:
            self.text.append(data)


page = Page()
with open(sys.argv[1], encoding="utf-8", newline="") as file:
    page.feed(file.read())
page.close()
json.dump({"tags": page.tags, "attributes": sorted(page.attributes), "links": page.links,
           "text": "".join(page.text)}, sys.stdout)
