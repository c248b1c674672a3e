"""Charts of an estimate: choices side by side, tables of rooms as heat maps, where the area bought goes."""

from cutopt.drawing.charts._charts import loss_drawing, loss_svg, study_svg, waste_svg

__all__ = ["loss_drawing", "loss_svg", "study_svg", "waste_svg"]
