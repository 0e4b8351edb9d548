"""Talk that is not for the assistant: about other things, and about the work but no question."""

TALK = tuple(
    """
can you hand me the big hammer from the bench
the boat comes in on thursday with the tide
did you see the football last night
we are out of coffee again
somebody left the gate open
I told him it would never fit through the door
the van is parked in front of the loading bay
put the kettle on would you
my brother is getting married in the spring
mind your back I am coming through
that weather is going to turn before noon
where did you put the key for the store
he said he would ring back after lunch
the customer wants it by the end of the week
I have been standing here since six o'clock
turn the radio down a little please
there is a draught from that window
you should have seen the size of that fish
the speed of that machine worries me
what did he want for the old motor
I need another pair of gloves
the drawing is on the table under the lamp
who took my ten inch ruler
hold this for a minute while I look for the other one
the feed on that thing has never been right
she is picking up the children at three thirty
this steel is rubbish
I think the belt is slipping again
give me two minutes and I will be there
those threads are all torn up
I would not do it like that if I were you
we ordered fifty and they sent fifteen
the phone has been ringing all morning
he cut his thumb on the shear
that one was thirteen pounds and forty pence
stop me if you have heard this one
the chuck key goes back on its hook
have you got the time
it is about half past ten I think
take the next one on the left after the bridge
I use the small one for that
the foreman was looking for you
how long have they been waiting
it weighs about as much as I do
the paint will not dry in this damp
are you coming to the pub on friday
what can I say he is like that
number seven wins the race again
the power went out twice last week
let me know when the kettle boils
sweep up round the lathe before you go
a quarter of them were broken
I will be back in ten minutes
the gears in that old truck are finished
is it still raining out there
my knee has been playing up for months
tell him the parts are ready
that taper pin fell on the floor somewhere
we could do with a bit more light in here
you can't get the wood you know
nobody has touched it since the summer
pass me the rag that is on the tailstock
there were six of us in the boat
I would like to go home early today
the steps are slippery when it rains
mark was looking for the other drawing
it was fine yesterday
the new lad is doing all right
they moved the whole lot to the other shed
cancel my appointment with the dentist
""".strip().splitlines()
)
