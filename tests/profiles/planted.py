"""Inconsistencies to plant in sorrel.yaml, each with the finding that it must give."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class Planted:
    """One inconsistency to plant, and the one finding that it must give."""

    case: str
    old: str
    new: str
    at: str
    """In the line of the finding."""
    problem: str
    stops: bool = True


PLANTED = (
    Planted(
        "unknown position in the speed table",
        '"400 rpm", levers: {knob: "B"}',
        '"400 rpm", levers: {knob: "C"}',
        '{knob: "C"}',
        'lever "knob" has no position "C"; there are A, B',
    ),
    Planted(
        "unknown lever held for threading",
        'threads: {levers: {gate: "screw"}}',
        'threads: {levers: {gaet: "screw"}}',
        "gaet",
        '"gaet" is no lever of this lathe; the nearest is "gate"',
    ),
    Planted(
        "unknown position of a reversing lever",
        'right_hand: "up"',
        'right_hand: "top"',
        'right_hand: "top"',
        'lever "tumbler" has no position "top"; the nearest is "up"',
    ),
    Planted(
        "spoken form of an unknown position",
        'spoken_positions: {"A": "alpha"}',
        'spoken_positions: {"Z": "alpha"}',
        '{"Z": "alpha"}',
        'lever "knob" has no position "Z"; there are A, B',
    ),
    Planted(
        "two positions said alike",
        'spoken_positions: {"A": "alpha"}',
        'spoken_positions: {"A": "alpha", "B": "alpha"}',
        '"B": "alpha"',
        'lever "knob" has 2 positions that are all said "alpha"; say each in its own way',
    ),
    Planted(
        "duplicate lever",
        "  - {name: tumbler,",
        '  - {name: gate, group: feed, positions: ["a", "b"]}\n  - {name: tumbler,',
        '["a", "b"]',
        'there are two levers called "gate"; rename one',
    ),
    Planted(
        "duplicate position",
        'positions: ["up", "middle", "down"]',
        'positions: ["up", "middle", "down", "up"]',
        '"down", "up"]',
        'lever "tumbler" has position "up" 2 times; keep one',
    ),
    Planted(
        "lever never used",
        "  - {name: tumbler,",
        '  - {name: brake, group: spindle, positions: ["on", "off"]}\n  - {name: tumbler,',
        "name: brake",
        'lever "brake" is in no table, no drive and no direction; use it there or leave it out',
        stops=False,
    ),
    Planted(
        "lever of the wrong group",
        "{name: tumbler, group: direction",
        "{name: tumbler, group: spindle",
        "neutral:",
        'lever "tumbler" is of group spindle but is used for the direction; '
        "make its group direction or take it out here",
    ),
    Planted(
        "printed speed that the drive does not give",
        '"400 rpm", levers',
        '"420 rpm", levers',
        '"420 rpm"',
        '"420 rpm" is printed, but the drive gives 400 rpm; correct the row or the drive',
    ),
    Planted(
        "speed that no lever set gives",
        '    - "400 rpm"\n',
        '    - "400 rpm"\n    - "630 rpm"\n',
        '- "630 rpm"',
        'no lever set gives "630 rpm"; the nearest speed is 400 rpm',
    ),
    Planted(
        "printed speeds that do not rise",
        '    - "150 rpm"\n    - "400 rpm"\n',
        '    - "400 rpm"\n    - "150 rpm"\n',
        '- "150 rpm"',
        '"150 rpm" comes after "400 rpm"; list the speeds rising',
        stops=False,
    ),
    Planted(
        "table speeds that do not rise",
        '    - {speed: "150 rpm", levers: {knob: "A"}}\n    - {speed: "400 rpm", levers: {knob: "B"}}\n',
        '    - {speed: "400 rpm", levers: {knob: "B"}}\n    - {speed: "150 rpm", levers: {knob: "A"}}\n',
        'speed: "150 rpm"',
        '"150 rpm" comes after "400 rpm"; list the speeds rising',
        stops=False,
    ),
    Planted(
        "row that does not say where a lever stands",
        '"2 mm", levers: {slider: "right"}',
        '"2 mm", levers: {}',
        "levers: {}",
        '"2 mm" does not say where lever "slider" stands; name its position',
    ),
    Planted(
        "same setting twice",
        '    feeds:\n      - {feed: "0.05 mm/turn", levers: {slider: "left"}}\n',
        '    feeds:\n      - {feed: "0.05 mm/turn", levers: {slider: "left"}}\n'
        '      - {feed: "0.050 mm/turn", levers: {slider: "left"}}\n',
        '"0.050 mm/turn", levers: {slider: "left"}',
        '"0.050 mm/turn" stands twice with the same setting; keep one',
        stops=False,
    ),
    Planted(
        "chart pitch that the gears do not give",
        '{lead: "2 mm",',
        '{lead: "2.01 mm",',
        '"2.01 mm"',
        '"2.01 mm" is printed, but the drive gives 2 mm; correct the row or the drive',
    ),
    Planted(
        "chart feed that the gears do not give",
        '"0.10 mm/turn"',
        '"0.11 mm/turn"',
        '"0.11 mm/turn"',
        '"0.11 mm/turn" is printed, but the drive gives 0.1 mm/turn; correct the row or the drive',
    ),
    Planted(
        "chart cross feed that the gears do not give",
        '"0.050 mm/turn"',
        '"0.052 mm/turn"',
        '"0.052 mm/turn"',
        '"0.052 mm/turn" is printed, but the drive gives 0.05 mm/turn; correct the row or the drive',
    ),
    Planted(
        "lead that a train does not give",
        '- "10 per inch"',
        '- "11 per inch"',
        '- "11 per inch"',
        'no lever set gives "11 per inch" with this train; take it out or correct the train',
    ),
    Planted(
        "gear that the shop does not own",
        "gears: [20, 30, 40, 50, 60, 80, 127]",
        "gears: [20, 30, 40, 60, 80, 127]",
        "127/50",
        "the train needs 1 gears of 50 teeth and the shop owns 0; "
        "correct the train or the list of gears",
    ),
    Planted(
        "train out of the banjo's reach",
        'max_centres: "120 mm"',
        'max_centres: "80 mm"',
        "127/50",
        "127/50 stand 88.5 mm apart, outside what the banjo takes; "
        "correct the train or the banjo's limits",
        stops=False,
    ),
    Planted(
        "gears that run into a shaft",
        'train: "127/50 x 20/80"',
        'train: "20/50 x 127/80"',
        "20/50",
        "the gear of 127 teeth reaches the shaft of the gear of 20; order the pairs otherwise",
        stops=False,
    ),
    Planted(
        "module and diametral pitch",
        'module: "1 mm"',
        'module: "1 mm", diametral_pitch: 20',
        "diametral_pitch",
        "banjo has module and diametral_pitch; keep one of them",
    ),
    Planted(
        "banjo limits exchanged",
        'min_centres: "30 mm", max_centres: "120 mm", module: "1 mm"',
        'min_centres: "120 mm", max_centres: "30 mm"',
        "max_centres",
        'max_centres "30 mm" is not over min_centres "120 mm"; exchange them',
    ),
    Planted(
        "dial gear that is too large",
        "{teeth: 20}",
        "{teeth: 200}",
        "{teeth: 200}",
        "a dial gear of 200 teeth on this leadscrew would be 255 mm across; expected 10 to 160 mm",
        stops=False,
    ),
    Planted(
        "a label twice",
        '    - "2"\n',
        '    - "1"\n',
        "marks:",
        'mark "1" stands 2 times; number each mark once',
    ),
    Planted(
        "positions that are not one for each mark",
        '  marks:\n    - "1"\n',
        '  positions: ["0", "1/2"]\n  marks:\n    - "1"\n',
        "^  positions: [",
        "there are 2 positions for 4 marks; give one for each",
    ),
    Planted(
        "position past the turn",
        '  marks:\n    - "1"\n',
        '  positions: ["0", "1/4", "1/2", "1"]\n  marks:\n    - "1"\n',
        "^  positions: [",
        "position 1 is not under one turn; count from the first mark",
    ),
    Planted(
        "positions out of order",
        '  marks:\n    - "1"\n',
        '  positions: ["0", "1/2", "1/4", "3/4"]\n  marks:\n    - "1"\n',
        "^  positions: [",
        "position 1/4 comes after 1/2; list the marks as they pass the index",
    ),
    Planted(
        "pick-off gears without names",
        "    - {teeth: 20}\n",
        "    - {teeth: 20}\n    - {teeth: 28}\n",
        "  gears:",
        "several pick-off gears need names that differ; give each its name",
    ),
    Planted(
        "compound dial that no screw fits",
        "divisions: 40, reads: radius",
        "divisions: 43, reads: radius",
        "divisions: 43",
        '43 divisions of "0.05 mm" reading radius make a screw of 2.15 mm (11.81 per inch) lead, '
        "which no slide has; correct division, divisions or reads",
        stops=False,
    ),
    Planted(
        "cross-slide dial against the cross-feed screw",
        "divisions: 160, reads: diameter",
        "divisions: 80, reads: diameter",
        'screw: "4 mm"',
        'the cross-slide screw is "4 mm", but its dial makes it 2 mm; correct the screw or the dial',
    ),
    Planted(
        "chuck limit under the lowest speed",
        'top_speed: "400 rpm"',
        'top_speed: "100 rpm"',
        '"100 rpm"',
        '"faceplate" may turn at most "100 rpm", under the lowest speed of 150 rpm; '
        "it can never be used on this lathe",
        stops=False,
    ),
    Planted(
        "chuck that does not swing",
        'diameter: "180 mm"',
        'diameter: "220 mm"',
        '"220 mm"',
        '"faceplate" of "220 mm" does not swing over the bed, which takes "200 mm"; '
        "correct one of them",
        stops=False,
    ),
    Planted(
        "swing over the slide",
        'swing_over_slide: "120 mm"',
        'swing_over_slide: "220 mm"',
        "swing_over_slide",
        'swing over the slide "220 mm" is not under the swing over the bed "200 mm"; exchange them',
    ),
)
