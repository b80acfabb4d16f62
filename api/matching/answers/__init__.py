"""The use case of a search: what is asked, which parts are listed, what is shown of them."""
