"""How every panel looks: at a desk, at a projector, and in a narrow window."""

from dampinglab.figures.look import INK, PAPER, QUIET, WHEEL

__all__ = ["STYLE"]


def _beside(panel: str, most: int, side: int) -> str:
    """Return how what is turned stands beside what it does, and stays in sight."""
    turned = ":is(.dl-grid, .dl-turned)"
    return f"""{panel}:has(> {turned}) {{display:grid !important; max-width:{most}px;
    column-gap:30px; grid-template-columns:minmax(0, 1fr) {side}px;
    grid-template-rows:repeat(20, auto) 1fr}}
  {panel} > * {{grid-column:1; min-width:0}}
  {panel} > {turned} {{grid-area:1 / 2 / 22; align-self:start; position:sticky; top:0}}
  :is({panel}, .dl-turned) > .dl-grid {{grid-template-columns:minmax(0, 1fr) !important}}"""


STYLE = f"""<style>
.dl-panel {{background:{PAPER}; border:1px solid #D8D1C4; border-top:5px solid {WHEEL};
  border-radius:3px; padding:12px 20px 14px; max-width:980px; box-sizing:border-box;
  --jp-widgets-font-size:15px; --jp-widgets-color:{INK}; --jp-widgets-label-color:{INK};
  --jp-widgets-readout-color:{INK}; --jp-widgets-slider-active-handle-color:#E9F2EB;
  --jp-widgets-slider-handle-border-color:{WHEEL}; --dl-words:18px; color:{INK}}}
.dl-panel .widget-label {{color:{INK}}}
.dl-panel .jupyter-button {{border-radius:3px; height:36px; line-height:34px; width:auto;
  background:#EFEBE3; color:{INK}; border:1px solid #CFC7B8}}
.dl-panel .jupyter-button.mod-active {{background:{WHEEL}; color:#FFFFFF; border-color:{WHEEL}}}
.dl-panel h3 {{font-size:calc(var(--dl-words) * 1.15); margin:0; color:{INK}; font-weight:650}}
.dl-panel.dl-panel :focus-visible {{outline:3px solid {WHEEL} !important;
  outline-offset:2px !important}}
.dl-turned, .dl-panel .widget-hbox:has(> .jupyter-button), .dl-panel .widget-toggle-buttons,
.dl-panel .widget-hbox:has(> .widget-dropdown), .dl-panel .widget-dropdown,
.dl-panel .widget-hbox:has(> .widget-toggle-buttons) {{overflow:visible}}
.dl-grid {{display:grid !important; column-gap:34px; overflow:visible;
  grid-template-columns:repeat(auto-fit, minmax(min(330px, 100%), 1fr))}}
.dl-thirds {{column-gap:16px; align-items:end !important;
  grid-template-columns:repeat(auto-fit, minmax(min(240px, 100%), 1fr))}}
.dl-control, .dl-control > * {{width:auto; overflow:visible}}
.dl-control > .widget-label {{white-space:normal; height:auto; line-height:1.3;
  padding:4px 0}}
.dl-control .widget-text {{position:relative; flex:0 0 auto;
  width:calc(5 * var(--jp-widgets-font-size))}}
.dl-control .widget-text .widget-label, .widget-toggle-buttons > .widget-label,
.dl-unseen {{position:absolute; width:1px; height:1px;
  clip-path:inset(50%); overflow:hidden}}
.dl-control .widget-text input {{text-align:right; width:100%}}
.dl-note {{color:#8A1C00; font-size:calc(var(--dl-words) * 0.85); line-height:1.3; margin:0}}
.dl-view {{max-width:920px; align-items:center; margin:4px 0}}
.dl-picture {{width:100%; height:auto; display:block}}
.dl-moving {{width:100%; height:auto; display:block; font-family:"DejaVu Sans",sans-serif}}
.dl-words {{font-size:var(--dl-words); line-height:1.4; margin:6px 0 8px; max-width:62em;
  color:{INK}; border-left:4px solid {WHEEL}; padding-left:12px}}
.dl-stale :is(.dl-view, .dl-scores) {{opacity:0.3}}
.dl-fixed {{font-size:calc(var(--dl-words) * 0.85); line-height:1.35; color:{QUIET}; margin:0}}
.dl-scores {{border-collapse:collapse; font-size:calc(var(--dl-words) * 0.85); margin:4px 0;
  width:100%; max-width:920px; color:{INK}}}
.dl-scores th, .dl-scores td {{padding:2px 8px; text-align:right; vertical-align:bottom;
  font-weight:400; line-height:1.25}}
.dl-scores thead th {{border-bottom:2px solid {WHEEL}; color:{QUIET}}}
.dl-scores tbody th {{text-align:left; font-weight:650}}
.dl-room .dl-scores {{max-width:1240px}}
.dl-room {{max-width:1320px; --jp-widgets-font-size:21px;
  --jp-widgets-inline-height:42px; --dl-words:27px}}
.dl-room .dl-grid {{grid-template-columns:repeat(auto-fit, minmax(min(370px, 100%), 1fr))}}
.dl-panel .widget-dropdown, .dl-panel .widget-text {{max-width:calc(100% - 4px)}}
.dl-room .widget-dropdown {{width:auto; min-width:min(20em, 100%)}}
.dl-room .dl-view {{max-width:1240px}}
.dl-room .dl-moving text {{font-size:19px}}
.dl-room .jupyter-button {{height:46px; line-height:44px}}
.widget-html-content:has(> .dl-scores) {{overflow-x:auto}}
.lm-Widget:has(> .dl-panel > :is(.dl-grid, .dl-turned)) {{container-type:inline-size}}
@container (min-width:1560px) {{  /* a wide screen */
  {_beside(".dl-room", 1760, 420)}
}}
@media (min-height:600px) and (max-height:900px) {{  /* a small one */
  .dl-panel:not(.dl-room) .dl-picture {{max-height:max(400px, calc(100vh - 260px));
    object-fit:contain}}
  @container (min-width:1060px) {{
  {_beside(".dl-panel:not(.dl-room)", 1300, 290)}
  }}
}}
@media (min-height:600px) {{  /* the words stay in sight where a panel is taller than the screen */
  .dl-said {{position:sticky; bottom:0; z-index:2; background:{PAPER}}}
  :is(.dl-panel, .jp-OutputArea, .jp-OutputArea-child, .jp-OutputArea-output):has(.dl-said) {{
    overflow:visible}}
}}
@media (max-width:900px) {{  /* a narrow window, or a page enlarged to twice its size */
  .dl-panel {{padding:12px 10px 14px}}
  .dl-panel .dl-view {{flex-flow:column !important; align-items:stretch !important}}
  .dl-panel .dl-view > * {{flex:0 0 auto !important; width:auto}}
  .dl-view:has(.dl-picture) .dl-moving {{max-width:340px}}
}}
</style>"""
