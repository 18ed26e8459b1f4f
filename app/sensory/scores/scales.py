"""The scales of liking and of just-right scores, and their words.

Liking: the nine-point hedonic scale of Peryam & Pilgrim 1957, Food Technology 11(9):9.
Just-right: five steps around "just right"; the definitions of the attributes are our own.
"""

LIKING_LABELS = {
    1: "dislike extremely",
    2: "dislike very much",
    3: "dislike moderately",
    4: "dislike slightly",
    5: "neither like nor dislike",
    6: "like slightly",
    7: "like moderately",
    8: "like very much",
    9: "like extremely",
}
JUST_RIGHT_LABELS = {
    1: "much too little",
    2: "a little too little",
    3: "just right",
    4: "a little too much",
    5: "much too much",
}
JUST_RIGHT = 3
JUST_RIGHT_DEFINITIONS = {
    "strength": "How much taste there is in all, from watery to overwhelming.",
    "sweetness": "The taste of sugar, honey or ripe fruit.",
    "acidity": "The sharp, bright taste of lemon, apple or vinegar.",
    "bitterness": "The taste of dark chocolate, grapefruit pith or strong tea.",
    "body": "How thick and full the liquid feels in the mouth.",
    "clarity": "How cleanly one taste can be told from the next, without mud or dust.",
}
JUST_RIGHT_ATTRIBUTES = tuple(JUST_RIGHT_DEFINITIONS)
