"""How Sphinx builds the site: no address is fetched, nothing on a page comes from elsewhere."""

from topwire import __version__

project = "topwire"
author = "topwire"
copyright = ""
version = release = __version__
extensions = ["myst_parser"]
myst_heading_anchors = 3
myst_enable_extensions = ["colon_fence"]
html_theme = "furo"
html_title = f"topwire {__version__}"
html_show_sphinx = html_show_copyright = html_copy_source = False
html_theme_options = {
    "light_css_variables": {"color-brand-primary": "#2f5d3a", "color-brand-content": "#2f5d3a"}
}
highlight_language = "none"
nitpicky = True
suppress_warnings = ["myst.header"]
