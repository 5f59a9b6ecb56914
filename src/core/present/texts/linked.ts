/**
 * A sentence with links in it: the whole sentence is one entry of the catalogue, which says where each link is and what it is called. Whoever
 * shows it gives a function for each link that makes it of its words.
 */
export type Linked<Part> = readonly (string | Part)[];
export type Link<Part> = (words: string) => Part;
