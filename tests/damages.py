"""Twelve damages, all invented: panels, depths, garages from 3 °C to 35 °C, papers missing, guns measured and not."""

HEAD = "format = 1\n"

DAMAGES = {
    "door, creased": """title = "Left rear door, creased along a gatepost"
[damage]
x = "420 mm"
y = "470 mm"
width = "300 mm"
height = "160 mm"
depth = "1 mm"
[wish]
least = "hours"
""",
    "front wing, small dent, own booth-like garage": """title = "Front wing, dented by a trolley"
[panel]
kind = "front wing"
[damage]
x = "780 mm"
y = "200 mm"
width = "120 mm"
height = "80 mm"
depth = "0.6 mm"
[garage]
temperature = "22 °C"
spray_at = "home"
extraction = "yes"
supplied_air = "yes"
air_changes = "20 /h"
[gun]
fluid_delivery = "200 mL/min"
fan_width = "240 mm"
captured = "70 %"
""",
    "bonnet, stone scratch to the primer": """title = "Bonnet, scratched to the primer"
[panel]
kind = "bonnet"
[damage]
width = "180 mm"
height = "40 mm"
depth = "0 mm"
reaches = "primer"
[wish]
least = "paint"
""",
    "roof, rust spot to the metal": """title = "Roof, rust under a rack"
[panel]
kind = "roof"
[damage]
width = "80 mm"
height = "60 mm"
depth = "0 mm"
reaches = "bare"
on_it = "rust"
""",
    "quarter panel, long scrape": """title = "Quarter panel, scraped along a wall"
[panel]
kind = "quarter panel"
[damage]
x = "950 mm"
y = "280 mm"
width = "120 mm"
height = "90 mm"
depth = "0.8 mm"
[stock]
papers = ["P80", "P180", "P280", "P600"]
""",
    "bumper, gouge to the plastic": """title = "Bumper, gouged at a bollard"
[panel]
kind = "bumper"
[damage]
x = "700 mm"
y = "120 mm"
width = "120 mm"
height = "60 mm"
depth = "0.5 mm"
[stock]
buy = "yes"
""",
    "tailgate, scratch in the clear": """title = "Tailgate, key scratch in the clear"
[panel]
kind = "tailgate"
[damage]
width = "200 mm"
height = "20 mm"
depth = "4 µm"
reaches = "clear"
""",
    "door, hot garage": """title = "Door at 35 °C"
[damage]
x = "500 mm"
y = "480 mm"
width = "200 mm"
height = "120 mm"
depth = "0.7 mm"
[garage]
temperature = "35 °C"
humidity = "40 %"
spray_at = "home"
extraction = "yes"
supplied_air = "yes"
air_changes = "30 /h"
""",
    "door, cold garage": """title = "Door at 3 °C"
[damage]
depth = "0.8 mm"
[garage]
temperature = "3 °C"
humidity = "80 %"
spray_at = "home"
extraction = "yes"
supplied_air = "yes"
""",
    "door, nothing to breathe": """title = "Door, at home with a filter mask"
[damage]
depth = "0.8 mm"
[garage]
spray_at = "home"
extraction = "yes"
supplied_air = "no"
""",
    "aluminium bonnet, no primer": """title = "Aluminium bonnet, through to the sheet"
[panel]
kind = "bonnet"
sheet = "aluminium"
[damage]
width = "90 mm"
height = "60 mm"
depth = "0 mm"
[stock]
materials = ["filler", "surfacer", "base", "clear"]
""",
    "door, papers of one kind": """title = "Door, papers for polishing alone"
[damage]
depth = "0.8 mm"
[garage]
extraction = "no"
spray_at = "home"
[stock]
papers = ["P1500", "P2000"]
""",
}
